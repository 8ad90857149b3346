export async function journey() {}
