export async function tabs() {}
