/// What was tried and how it ended; a failure says why and the run goes on.
export function tally() {
  const count = { passed: 0, failed: 0 };
  const step = async (words, work) => {
    const since = performance.now();
    try {
      const result = await work();
      count.passed += 1;
      console.log(`good ${words} (${((performance.now() - since) / 1000).toFixed(1)} s)`);
      return result;
    } catch (fault) {
      count.failed += 1;
      console.log(`BAD  ${words}\n     ${String(fault?.message ?? fault).split('\n').slice(0, 14).join('\n     ')}`);
      return undefined;
    }
  };
  return { count, step };
}
