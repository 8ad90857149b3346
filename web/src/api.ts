/// The service as the pages know it: what they may ask, and what comes back.
///
/// Every number a person reads is a finished text of the service (digits, unit
/// and mark of the plant); the pages compute no trade result. Members marked `?`
/// may be left out; a list that is empty is sent as [].

export interface Missing { what: string; who: string; how: string }

/// application/problem+json
export interface Problem {
  title: string;
  status: number;
  detail: string;
  code: string;
  where?: { file?: string; line?: number; column?: string; field?: string };
  expected?: string;
  remedy?: string;
  missing?: Missing[];
}

export interface Subject { kind: string; id: string }

// --- session ---

export interface Plant {
  name: string;
  zone: string;           // "Europe/Berlin"
  zone_words: string;     // "UTC+1": shown once a page
  record_sequence: number;  // this and the head: for who is signed in
  record_head: string;
}
export interface PersonHere { number: number; name: string; duty: string; operations: string[] }
export interface Session {
  plant: Plant;
  person: PersonHere | null;
  caution: string;
  version: string;        // "Platemark 0.1.0"
}

// --- today ---

/// A word of a finding or state and its mark; `marks.tsx` maps the word to its shape.
export type Word =
  | 'inside' | 'outside above' | 'outside below' | 'too close to say' | 'missing' | 'unconfirmed limit' | 'no limit on file'
  | 'not met' | 'late' | 'due soon' | 'overtaken'
  | 'on its way' | 'hold' | 'released' | 'concession' | 'rework' | 'scrap' | 'refused' | 'clear';

export interface HeldBatch {
  batch: string; part: string; compound: string; pads: string;
  word: Word; why: string; settle: string; who: string; since: string;
  group: 'ready' | 'waiting';
}
export interface WaitingLot { lot: string; material: string; word: Word; why: string; settle: string; who: string; since: string }
export interface LateThing { word: Word; what: string; kind: string; id: string; hangs: string; helps: string; who: string; by: string }
export interface RunningBatch { batch: string; part: string; compound: string; pads: string; step: string; words: string }
export interface ShippedOvertaken { batch: string; shipment: string; customer: string; why: string; fact: number }
export interface Today {
  sentence: string;       // "Three batches wait for you, four for evidence. …"; `**…**` may set off its first words
  now: string;            // "2026-11-25 Wed 07:40"
  on_hold: HeldBatch[];
  on_hold_words: string;  // "7 batches, 15 236 pads"
  lots: WaitingLot[];
  late: LateThing[];
  running: RunningBatch[];
  shipped_overtaken: ShippedOvertaken[];
}

// --- the bar: a gate as it stands for one thing ---

/// What would mend a missing thing. `href` wins over `act`: a page of its own.
export interface PinAction { label: string; act?: string; href?: string; prefill?: Record<string, string> }
export interface Pin { word: Word; title: string; sentence: string; who: string; action: PinAction | null }

export interface LimitWords {
  words: string;          // "at least 320 N/cm²"
  source: string;         // "control plan CP-HERON, issue 6"
  confirmed: boolean;
  adopted: boolean;
  adopt_href?: string;    // /adopt/{plan}/{issue}/{characteristic}; only for a person who may adopt
}
export interface FindingShown {
  word: Word;
  characteristic: string;
  trend_href?: string;    // its results across batches
  title: string;          // "Shear of the bond, cold"
  sub?: string;           // "3 of 5 pads"
  sentence: string;       // the reason in full, for the judgement page and screen readers
  result?: string;        // "2.188"
  u?: string;             // "± 0.011"; k = 2
  unit?: string;          // "g/cm³"
  result_sub?: string;    // "lowest so far"
  note?: string;          // "Inside the limit, but its uncertainty … reaches past it; …"
  strip_svg?: string;
  limits: LimitWords[];
  figures: number[];      // facts it rests on
}
export interface Verdict { fact: number; outcome: 'conforms' | 'does not conform' | 'cannot decide'; digest: string; seen: number; overtaken?: string }
export interface Release { fact: number; who: string; when: string; meaning: string }
export interface Bar {
  gate: 'lot' | 'set-up' | 'cure' | 'final';
  title: string;          // "Cure gate"
  state: 'hold' | 'released' | 'concession' | 'refused' | 'not yet';
  sentence: string;       // "On hold for 1 d 2 h. Cannot be decided: …"
  missing: Pin[];         // most blocking first
  verdict?: Verdict;
  release?: Release;
  findings: FindingShown[];
  findings_words?: string; // "8 more from the steps above, all inside"
  judge_href?: string;    // /judge/{gate}/{kind}/{id}: present when there is something to judge
}

/// An act the signed-in person may do now, or may not because of `blocked`.
/// `far`: what cannot be undone (scrap, refuse) stands apart from the other buttons.
export interface Permitted { act: string; label: string; href?: string; prefill?: Record<string, string>; blocked?: Missing[]; far?: boolean }

export interface HoldShown { fact: number; why: string; since: string; who: string; lifted?: string }
export interface Paper { number: string; paper: string; href: string; when?: string }

// --- batch ---

export interface IngredientLot { lot: string; material: string; note?: string }
export interface LoadJoin { load: string; others: string[] }
export interface Leaving { count: string; why: string; to: 'scrap' | 'laboratory' | 'rework' }
export interface StripShown { caption: string; value: string; svg: string }
export interface HistoryStep {
  fact: number;
  after?: 'cure' | 'final';  // the bar it stands below; none: above both
  day?: string;           // "11-23"; shown when it differs from the step before
  when: string;           // "06:10"
  title: string;          // "Mixed"
  words: string;          // " in 3 mixes of 112.0 kg on mixer 2"
  join?: 'ingredients' | 'plates' | 'load';  // which threads come in here
  load?: string;
  mixes?: number;         // strands that run until the press spins them into one
  strips: StripShown[];
  leaving: Leaving[];
  corrected_by?: number;
  corrects?: number;
  irregular: string[];
  links: Subject[];
}
export interface PlannedStep { after?: 'cure' | 'final'; title: string; words: string; day?: string; when?: string }
/// One approval that is needed (or one part of an approval), dimension by dimension.
export interface CoverRow {
  need: string;           // "Type approval TA-0417"
  word: Word;             // inside, missing
  words: string;          // what is outside, or the approval with its days
  dimensions: { dimension: string; word: Word; wanted: string; sentence: string }[];  // none: nothing on file answers
  approval?: string;
  until?: string;         // the last day
}

export interface BatchPage {
  id: string;
  part: { code: string; name: string; issue: number };
  compound: { code: string; name: string; issue: number };
  underlayer?: { code: string; name: string; issue: number };
  plan: { code: string; issue: number };
  mark: Word;
  sentence: string;       // "**On hold for 1 d 2 h. Cannot be decided:** two shear pads are not entered …"
  counts_sentence: string;
  joins: { ingredient_lots: IngredientLot[]; plate_lot?: string; adhesive_lot?: string; loads: LoadJoin[] };
  steps: HistoryStep[];   // in the order in which they happened
  bars: Bar[];            // cure, then final
  planned: PlannedStep[]; // what comes after the last thing that happened
  holds: HoldShown[];
  papers: Paper[];
  cover: CoverRow[];
  permitted: Permitted[];
}
export interface BatchRow { id: string; part: string; compound: string; mark: Word; words: string; when: string; pads: string }
export interface Paged<Row> { rows: Row[]; next?: string }

// --- counts and yield ---

export interface YieldLine { step: string; fact?: number; in: string; good: string; scrap: string; scrap_words: string; rework: string; samples: string; difference: number; difference_words: string }
export interface YieldRow { batch: string; part: string; when: string; balances: boolean; words: string; plates: string; good: string; scrap: string; scrap_words: string; rework: string; samples: string; yield: string; lines: YieldLine[] }
export interface Yield { sentence: string; from: string; plates: string; good: string; yield: string; scrap: { reason: string; pads: string; share: string }[]; rows: YieldRow[] }

// --- lot ---

export interface LotCharacteristic {
  word: Word;
  characteristic: string;
  words: string;
  result?: string;
  note?: string;
  certificate?: string;
  strip_svg?: string;
  limits: LimitWords[];
  figures: number[];
}
export interface SieveRow { aperture: string; retained: string; passing: string; band: string; word: Word }
export interface LotPage {
  id: string;
  material: { code: string; name: string; issue: number };
  supplier: string;
  supplier_lot: string;
  quantity: string;
  received: string;
  use_by?: string;
  use_by_word?: Word;
  mark: Word;
  sentence: string;
  bar: Bar;
  own: LotCharacteristic[];
  sieve_svg?: string;
  sieve_table?: { rows: SieveRow[]; balance: string; fineness: string };  // "D10 8 µm · D50 24 µm · D90 61 µm"
  used_in: (Subject & { words: string })[];
  holds: HoldShown[];
  facts: FactLine[];
  permitted: Permitted[];
}
export interface LotRow { id: string; material: string; supplier: string; mark: Word; words: string; when: string }

// --- load ---

export interface ClampShown { clamp: string; batch: string; pads: string; tier: number; position: number }
/// `n` 0: not numbered on the chart. Times in minutes since the start.
export interface ChartMark { n: number; kind: string; channel: string; from: number; to: number; words: string; effect?: string }
export interface ChartWindow { minutes: number[]; lower: number[]; upper: number[] }
export interface ChartMoment { minutes: number; words: string }
export interface ChartBracket { from: number; to: number; words: string }
export interface Recording { fact: number; file: string; href: string; rows: string; skipped: string; skipped_why: { line: number; why: string }[]; layout: string }
export interface LoadPage {
  id: string;
  oven: { code: string; name: string };
  programme: { code: string; name: string; issue: number };
  word: Word;
  sentence: string;
  sub?: string;
  details: string;        // "Oven North, programme P-180 issue 3, in 2026-11-23 21:40, out 04:58 …"
  clamps: ClampShown[];
  batches: string[];
  findings: FindingShown[];
  findings_words?: string;
  marks: ChartMark[];
  window: ChartWindow;
  limits: { axis?: 'temperature' | 'degree'; value: number; words: string }[];
  moments: ChartMoment[];
  brackets: ChartBracket[];
  minutes?: number;       // length of the time axis; else that of the window
  recordings: Recording[];
  heat: LoadHeat;
  permitted: Permitted[];
}
export interface WorstPad { what: string; where: string; batch: string; value: string; margin: string }
/// What the pads of a load saw; until it is computed, what is missing for it.
export interface LoadHeat {
  computed: boolean;
  missing?: Missing[];
  fact?: number;
  sentence?: string;
  worst?: WorstPad[];
  map?: string;           // SVG
  doubts?: string[];
  indication?: string | null;
  rests?: string;
}
export interface Job { job: string; about: string; share: number; done: boolean }
export interface WhatIf { rows: { what: string; clamp: string; now: string; then: string }[] }
export interface ReworkCure { batch?: string; sentence: string; rows: { minutes: number; degree: string; u: string }[]; instruction?: string }
export interface OvenPage {
  code: string; name: string; issue: number; sentence: string; parted: boolean;
  sensors: { channel: string; role: string; sensor: string; corrections: number; due: string; late: boolean; drift: string; passes: boolean }[];
  survey: { code: string; issue: number; day: string; until: string; late: boolean; source: string; uniformity: string; map: string } | null;
  loads: { load: string; when: string; offsets: { channel: string; offset: string }[] }[];
  permitted: Permitted[];
}
export interface LoadRow { id: string; oven: string; programme: string; mark: Word; words: string; when: string; pads: string }
/// `axis`: °C (also when left out), or degree of cure 0…1. `first`: recorded, the one under study; calculated, the one that decides.
export interface SeriesChannel { name: string; words: string; kind: 'recorded' | 'calculated'; axis?: 'temperature' | 'degree'; first: boolean; values: (number | null)[] }
export interface Series {
  start: string;          // an instant, e.g. "2026-11-23T20:40:00Z"; shown on the plant's clock
  minutes: number[];
  channels: SeriesChannel[];
  decimated: string | null;
  /// asked: "all 438 minutes drawn"; thinned: "every 1 s reading thinned 1 : 24, peaks kept"
  words: string;
}

// --- facts ---

export interface FactLine { sequence: number; when: string; kind: string; words: string; who: string }
export interface FactPage {
  sequence: number;
  kind: string;
  version: number;
  words: string;
  happened: string;
  as_typed?: string;
  recorded: string;
  person: { number: number; duty: string };
  subjects: (Subject & { href?: string })[];
  remark?: { corrects?: number; why?: string; irregular: string[] };
  corrected_by?: number;
  rests_on: number[];
  body: unknown;          // shown as a list of members
  bytes: string;          // canonical JSON, exactly what was hashed
  hash: string;
  previous: string;
  signature?: string;
  signer?: string;
  attachments: { hash: string; name: string; size: string; href: string }[];
  /// Of a figure: how it was worked out, replayed from its readings.
  working?: FigureWorking;
}
export interface FigureWorking {
  method: string; version: number; title: string; formula: string; substituted_formula: string;
  working: WorkingRow[]; notes: string[]; source: string; source_mark: string; replay: string;
}

// --- find ---

export interface Found { kind: string; id: string; href: string; words: string }

// --- acts and forms ---

/// From the description of the input struct. `item` is the type of a list's or
/// named values' entries when they are not objects; of objects, `members` says it.
export interface Field {
  name: string;
  type: 'text' | 'whole number' | 'number' | 'number with unit' | 'yes/no' | 'time' | 'day' | 'word' | 'list' | 'named values' | 'object';
  optional: boolean;
  item?: Exclude<Field['type'], 'list' | 'named values'>;
  label?: string;         // words for people; else made from the name
  hint?: string;          // unit expected, example
  words?: string[];
  members?: Field[];
  noun?: string;          // the text is a code of this kind: the form offers what is on file
}
/// `prepared`: its input is computed elsewhere first; no person types its fields.
export interface Act { name: string; path: string; words: string; operation: string; signed: boolean; prepared?: boolean; fields: Field[]; caution?: string }
export type Input = { [name: string]: unknown };
export interface ActRequest { token: string; input: Input; at?: string; late_because?: string; password?: string }
export interface ActDone {
  sequences: number[];
  head: string;
  recorded: string;       // "2026-11-25 07:40:12"
  repeated: boolean;
  words: string;
  created?: Subject & { href?: string };
}

// --- nouns ---

export interface NounKind { kind: string; words: string; one: string; count: number; act: string; fields: Field[] }
export interface NounRow { code: string; name: string; issue: number; effective?: string; words: string; word?: Word }
export interface NounIssue { issue: number; effective?: string; why: string; fact: number; who: string; when: string; noun: Input; counts: boolean; changed: string[] }
export interface FormulaChange {
  code: string; name: string; before: number; after: number; why: string; parts: string[];
  lines: {
    material: string; name: string; change: 'added' | 'removed' | 'changed' | 'same';
    parts_before?: string; parts_after?: string; mass_before?: string; mass_after?: string; volume_before?: string; volume_after?: string;
  }[];
  properties: { what: string; before: string; after: string; changed: boolean }[];
  substances: { substance: string; before: string; after: string; changed: boolean }[];
  lots: { lot: string; material: string; change: string; quantity: string; disposition: string }[];
}
export interface PressLog {
  machine: string; name: string; words: string[];
  runs: { fact: number; batch: string; station: string; from: string; to: string; strokes: number; pads: number; cycle: string }[];
}
export interface NounPage { kind: string; code: string; name: string; issues: NounIssue[]; unit_signs: Record<string, string>; cover?: CoverRow[]; press?: PressLog }   // newest first; cover of a part or an approval

// --- gauges ---

export interface GaugeUse { fact: number; when: string; of: Subject; what: string }
export interface GaugeCheck { fact: number; when: string; readings: string; word: Word; words: string; who: string }
export interface StudyWorking { title: string; formula: string; source: string; source_mark: string; substituted_formula: string; working: WorkingRow[]; notes: string[] }
export interface GaugeStudy { fact: number; when: string; title: string; word: Word | ''; words: string; figures: { symbol: string; words: string; value: string }[]; working: StudyWorking; mended: boolean; who: string; accept?: Permitted }
export interface GaugeTouched { of: Subject; words: string; verdicts: string[]; boxes: { box: string; pads: string; words: string }[] }
export interface GaugeWrong { fact: number; word: Word; when: string; found: string; off: string; last_right: number; last_right_when: string; right_again: string; words: string; results: GaugeUse[]; touched: GaugeTouched[]; assess?: Permitted }
export interface GaugePage { code: string; calibration: { word: Word; words: string; certificate: string }; checks_svg: string; checks: GaugeCheck[]; studies: GaugeStudy[]; wrong: GaugeWrong[]; lately: GaugeUse[]; acts: Permitted[] }

export interface TrendRow { fact: number; when: string; of: Subject; sample: string; value: string; word: Word; words: string; flag: string }
export interface Trend { plan: string; characteristic: string; title: string; sentence: string; run_svg: string; histogram_svg: string; rows: TrendRow[] }

export interface ImportRow { row: number; code: string; word: 'new' | 'new issue' | 'same' | 'wrong'; words: string; problem?: Problem }
export interface ImportPreview { rows: ImportRow[]; recordable: number; wrong: number; done?: ActDone }

// --- methods ---

export interface MethodInput {
  name: string; symbol: string; words: string;
  kind: 'number' | 'choice';
  unit?: string;          // as people write it: "cm²"; none or "1": a bare number
  min?: string; max?: string;
  list: boolean; least?: number;
  optional: boolean;
  choices?: string[];
}
export interface MethodOutput { name: string; symbol: string; words: string; unit: string; decimals: number }
export interface Method {
  id: string; version: number; title: string; words: string; formula: string;
  inputs: MethodInput[]; outputs: MethodOutput[];
  source: string; source_mark: string; validity: string;
}
export interface WorkingRow { symbol: string; words: string; value: string; unit?: string; u?: string; share?: string; from?: string }
export interface Evaluation {
  outputs: { name: string; words: string; value: string; unit: string; u?: string; determined: boolean; why?: string }[];
  substituted_formula: string;
  working: WorkingRow[];
  notes: string[];
  understood: Record<string, string[]>;
}

// --- laboratory ---

/// What a thing still needs measured, from its plan; who may enter it is the service's answer.
export interface DueSample { sample: string; words: string; entered: boolean }
export interface DueCharacteristic {
  characteristic: string; words: string; gate: string; method: string; method_version: number;
  word: Word; counted: string;   // "3 of 5"
  samples: DueSample[];          // [] when the thing itself is measured
  sampling: string;
  gauges: { code: string; name: string; unit: string; word: Word | 'in calibration'; words: string }[];
  /// The unit that the limit is in, by input: a thickness is typed in mm though its method counts in µm.
  units?: Record<string, string>;
  limits: LimitWords[];
}
/// Lots and batches for which the bench still owes results, the longest waiting first.
export interface BenchOwes { sentence: string; things: (Subject & { words: string; since: string; since_at: string; owed: { characteristic: string; words: string; counted: string }[] })[] }
export interface LaboratoryDue { subject: Subject; words: string; act: string; due: DueCharacteristic[] }

// --- judgement ---

export interface Judgement {
  subject: Subject;
  gate: Bar['gate'];
  title: string;
  bar: Bar;
  /// null: the newest verdict still sees everything.
  stale: string | null;
  judge_act: string;             // "batch/judge": gives a new verdict; its input is {batch, gate} or {lot}
  /// What may be signed now, with the meaning in words that the signature will carry.
  decisions: { act: string; label: string; meaning: string; input: Input; signed: boolean; blocked?: Missing[]; far: boolean; reason_wanted: boolean }[];
  review: { label: string; value: string }[];
}
export interface AdoptionPage {
  plan: string; plan_issue: number; characteristic: string; title: string;
  limit: LimitWords; why_unconfirmed: string; waiting: Subject[];
  act: string; operation: string; adopted?: Release;
}

// --- instrument files ---

export interface Attached { hash: string; size: number; name: string }
export interface LayoutColumn { title: string; use: string; channel?: string; unit?: string }
export interface LayoutProposal { layout: Input; columns: LayoutColumn[]; reasons: string[]; doubts: string[]; saved?: { code: string; issue: number; name: string } }
export interface LayoutPreview { columns: string[]; rows: string[][]; total: string; skipped: { line: number; why: string }[]; skipped_total: string; span: string }

// --- live ---

export interface FactEvent { sequence: number; kind: string; subjects: Subject[] }

export class Refused extends Error {
  constructor(readonly problem: Problem) { super(problem.detail || problem.title); }
}
/// The service did not answer, or not in time: nothing is known to have been recorded.
export class Unreachable extends Error {}

const answer_within_ms = 20_000;

async function asProblem(response: Response): Promise<Problem> {
  const fallback = { title: response.statusText, status: response.status, detail: '', code: `http.${response.status}` };
  try {
    return { ...fallback, ...(await response.json() as Partial<Problem>) };
  } catch {
    return fallback;
  }
}

async function send(path: string, init: RequestInit = {}, within = answer_within_ms): Promise<Response> {
  const timer = new AbortController();
  const alarm = setTimeout(() => timer.abort(), within);
  try {
    const response = await fetch(path, { credentials: 'same-origin', ...init, signal: timer.signal });
    if (!response.ok) throw new Refused(await asProblem(response));
    return response;
  } catch (fault) {
    if (fault instanceof Refused) throw fault;
    throw new Unreachable(String(fault));
  } finally {
    clearTimeout(alarm);
  }
}

const asked = { 'X-Platemark': '1' };
const part = encodeURIComponent;
const query = (members: Record<string, string | undefined>): string => {
  const given = Object.entries(members).filter((m): m is [string, string] => m[1] !== undefined && m[1] !== '');
  return given.length ? `?${new URLSearchParams(given)}` : '';
};

const get = async <T>(path: string): Promise<T> => (await send(path)).json() as Promise<T>;
async function change<T>(method: string, path: string, body?: unknown): Promise<T> {
  const headers = { ...asked, 'Content-Type': 'application/json' };
  const response = await send(path, { method, headers, ...(body === undefined ? {} : { body: JSON.stringify(body) }) });
  return (response.status === 204 ? undefined : await response.json()) as T;
}

/// One request with progress: fetch cannot tell how much has been sent.
function upload(path: string, file: Blob, name: string, progress: (sent: number, total: number) => void, stop?: AbortSignal): Promise<Attached> {
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    request.open('POST', path);
    request.setRequestHeader('X-Platemark', '1');
    // Header values are bytes: a name with other letters travels percent-encoded.
    request.setRequestHeader('X-File-Name', part(name));
    request.setRequestHeader('Content-Type', 'application/octet-stream');
    request.responseType = 'json';
    request.upload.onprogress = (e) => progress(e.loaded, e.total);
    request.onload = () => {
      if (request.status < 300) resolve(request.response as Attached);
      else reject(new Refused({ title: request.statusText, status: request.status, detail: '', code: `http.${request.status}`, ...(request.response as object | null) }));
    };
    request.onerror = request.ontimeout = request.onabort = () => reject(new Unreachable('upload'));
    stop?.addEventListener('abort', () => request.abort());
    request.send(file);
  });
}

export const api = {
  session: () => get<Session>('/api/session'),
  signIn: (login: string, password: string) => change<Session>('POST', '/api/session', { login, password }),
  signOut: () => change<void>('DELETE', '/api/session'),

  today: () => get<Today>('/api/today'),
  yield: () => get<Yield>('/api/yield'),
  batches: (after?: string) => get<Paged<BatchRow>>(`/api/batches${query({ after })}`),
  batch: (id: string) => get<BatchPage>(`/api/batches/${part(id)}`),
  lots: (after?: string) => get<Paged<LotRow>>(`/api/lots${query({ after })}`),
  lot: (id: string) => get<LotPage>(`/api/lots/${part(id)}`),
  formula: (code: string, from: string, to: string) => get<FormulaChange>(`/api/formulas/${part(code)}/${part(from)}/${part(to)}`),
  loads: (after?: string) => get<Paged<LoadRow>>(`/api/loads${query({ after })}`),
  load: (id: string) => get<LoadPage>(`/api/loads/${part(id)}`),
  series: (id: string, from?: number, to?: number, columns?: number) =>
    get<Series>(`/api/loads/${part(id)}/series${query({ from: from?.toString(), to: to?.toString(), columns: columns?.toString() })}`),

  beginHeat: (id: string, token: string) => change<{ job: string }>('POST', `/api/loads/${part(id)}/heat`, { token }),
  job: (job: string) => get<Job>(`/api/jobs/${part(job)}`),
  cancelJob: (job: string) => change<void>('POST', `/api/jobs/${part(job)}/cancel`, {}),
  whatIf: (id: string, longer: number, hotter: number) => get<WhatIf>(`/api/loads/${part(id)}/what-if${query({ longer: longer.toString(), hotter: hotter.toString() })}`),
  reworkCure: (id: string) => get<ReworkCure>(`/api/loads/${part(id)}/rework-cure`),
  shorterSoak: (id: string) => get<{ sentence: string }>(`/api/loads/${part(id)}/shorter-soak`),
  oven: (code: string) => get<OvenPage>(`/api/ovens/${part(code)}`),

  fact: (sequence: number) => get<FactPage>(`/api/facts/${sequence}`),
  facts: (subject: Subject, after?: string) => get<Paged<FactLine>>(`/api/facts${query({ subject: `${subject.kind}:${subject.id}`, after })}`),
  find: (code: string) => get<Found>(`/api/find${query({ code })}`),

  acts: () => get<Act[]>('/api/acts'),
  act: (path: string, request: ActRequest) => change<ActDone>('POST', `/api/acts/${path.split('/').map(part).join('/')}`, request),

  kinds: () => get<NounKind[]>('/api/nouns'),
  nouns: (kind: string, after?: string) => get<Paged<NounRow>>(`/api/nouns/${part(kind)}${query({ after })}`),
  trend: (plan: string, name: string) => get<Trend>(`/api/characteristics/${part(plan)}/${part(name)}`),
  gauge: (code: string) => get<GaugePage>(`/api/gauges/${part(code)}`),
  noun: (kind: string, code: string) => get<NounPage>(`/api/nouns/${part(kind)}/${part(code)}`),
  importNouns: async (kind: string, format: 'csv' | 'json', dry: boolean, file: Blob, token: string): Promise<ImportPreview> => {
    const path = `/api/nouns/${part(kind)}/import${query({ format, dry: dry ? '1' : '0', token })}`;
    return (await send(path, { method: 'POST', headers: { ...asked, 'Content-Type': 'application/octet-stream' }, body: file })).json();
  },

  methods: () => get<Method[]>('/api/methods'),
  evaluate: (id: string, numbers: Record<string, string[]>, choices: Record<string, string>) =>
    change<Evaluation>('POST', `/api/methods/${part(id)}/evaluate`, { numbers, choices }),

  bench: () => get<BenchOwes>('/api/laboratory'),
  due: (subject: Subject) => get<LaboratoryDue>(`/api/laboratory/${part(subject.kind)}/${part(subject.id)}`),
  judgement: (gate: string, subject: Subject) => get<Judgement>(`/api/judge/${part(gate)}/${part(subject.kind)}/${part(subject.id)}`),
  adoption: (plan: string, issue: string, characteristic: string) =>
    get<AdoptionPage>(`/api/adopt/${part(plan)}/${part(issue)}/${part(characteristic)}`),

  attach: (file: File, progress: (sent: number, total: number) => void, stop?: AbortSignal) => upload('/api/attachments', file, file.name, progress, stop),
  proposeLayout: (file: Attached) => change<LayoutProposal>('POST', '/api/layouts/propose', { attachment: file.hash, file_name: file.name }),
  previewLayout: (file: Attached, layout: Input) => change<LayoutPreview>('POST', '/api/layouts/preview', { attachment: file.hash, file_name: file.name, layout }),
};

export type Api = typeof api;
