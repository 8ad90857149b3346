/// Development only: an invented cure of 438 minutes, so that the chart has something to draw.
const minutes = 438;
const steps = [[0, 24], [75, 110], [135, 112], [205, 180], [345, 180], [438, 74]];

function programme(m) {
  const i = Math.max(1, steps.findIndex(([at]) => at >= m));
  const [[a, ta], [b, tb]] = [steps[i - 1], steps[i]];
  return ta + ((tb - ta) * (m - a)) / (b - a);
}
const wobble = (m, k) => Math.sin(m / 7 + k) * 0.8 + Math.sin(m / 2.3 + 2 * k) * 0.4;

function channels() {
  const one = [];
  const two = [];
  const least = [];
  const hottest = [];
  const cured = [];
  const hot_cured = [];
  let [slow, quick, alpha, beta] = [24, 24, 0.02, 0.02];
  for (let m = 0; m <= minutes; m++) {
    const p = programme(m);
    one.push(m >= 152 && m <= 166 ? 124.9 : p + 3.4 + wobble(m, 1));
    two.push(m >= 266 && m <= 277 ? null : p - 1.6 + wobble(m, 2) - (m > 100 && m < 112 ? 6 : 0));
    slow += (p - 2 - slow) / 32;
    quick += (p + 3 - quick) / 9;
    const rate = (t) => 0.34 * Math.exp(-62000 / 8.314 * (1 / (t + 273.15) - 1 / 453.15));
    alpha += rate(slow) * 0.11 * alpha ** 0.3 * (1 - alpha) ** 1.3;
    beta += rate(quick) * 0.11 * beta ** 0.3 * (1 - beta) ** 1.3;
    least.push(slow); hottest.push(quick); cured.push(alpha); hot_cured.push(beta);
  }
  return [
    { name: 'channel 2', words: 'channel 2', kind: 'recorded', axis: 'temperature', first: true, values: two },
    { name: 'channel 1', words: 'channel 1', kind: 'recorded', axis: 'temperature', first: false, values: one },
    { name: 'least cured pad', words: 'least cured pad', kind: 'calculated', axis: 'temperature', first: true, values: least },
    { name: 'hottest pad', words: 'hottest pad', kind: 'calculated', axis: 'temperature', first: false, values: hottest },
    { name: 'degree, least cured', words: 'least cured pad', kind: 'calculated', axis: 'degree', first: true, values: cured },
    { name: 'degree, hottest', words: 'hottest pad', kind: 'calculated', axis: 'degree', first: false, values: hot_cured },
  ];
}

export function cureSeries(query) {
  const from = Math.floor(Number(query.get('from') ?? 0));
  const to = Math.ceil(Number(query.get('to') ?? minutes));
  const cut = (values) => values.slice(from, to + 1);
  return {
    start: '2026-11-23T21:40:00+01:00', minutes: cut(Array.from({ length: minutes + 1 }, (_, m) => m)),
    channels: channels().map((c) => ({ ...c, values: cut(c.values) })), decimated: null, words: `all ${to - from} minutes drawn`,
  };
}
