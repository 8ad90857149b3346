/// A recorder's file: sent with progress, its layout proposed with reasons, previewed
/// with what is skipped, named, and only then recorded as the cure of the load.
import type { JSX } from 'preact';
import { useRef, useState } from 'preact/hooks';
import { Unreachable, api, type Attached, type Input, type LayoutPreview, type LayoutProposal } from '../api.ts';
import { newToken, troubleOf, useAct, type Trouble } from '../act.ts';
import { t } from '../words.ts';
import { Done, SendButton } from './act_form.tsx';
import { FaultBox } from './faults.tsx';
import { Mark } from './marks.tsx';
import { Head } from './text.tsx';

interface Sending { sent: number; total: number; since: number }
interface Read { file: Attached; proposal: LayoutProposal; preview: LayoutPreview }

const layout_act = 'layout/issue';

const megabytes = (bytes: number): string => (bytes / 1e6).toFixed(1);

function secondsLeft({ sent, total, since }: Sending): number | null {
  const passed = (performance.now() - since) / 1000;
  return sent > 0 && passed > 1 ? Math.ceil((passed * (total - sent)) / sent) : null;
}

function Progress({ sending, cancel }: { sending: Sending; cancel(): void }): JSX.Element {
  const left = secondsLeft(sending);
  return (
    <div class="progress">
      <label for="sent">{t('recorder.sending', { sent: megabytes(sending.sent), total: megabytes(sending.total) })} {left !== null && t('recorder.left', { n: left })}</label>
      <progress id="sent" max={sending.total} value={sending.sent} />
      <button type="button" class="btn small" onClick={cancel}>{t('recorder.cancel')}</button>
    </div>
  );
}

function Proposal({ proposal: p }: { proposal: LayoutProposal }): JSX.Element {
  return (
    <section aria-labelledby="h-layout"><Head id="h-layout" title={p.saved ? t('recorder.known', { name: p.saved.name, issue: p.saved.issue }) : t('recorder.proposed')} />
      <table class="plain"><caption class="vh">{t('recorder.columns')}</caption>
        <thead><tr><th scope="col">{t('recorder.column')}</th><th scope="col">{t('recorder.use')}</th><th scope="col">{t('recorder.channel')}</th><th scope="col">{t('recorder.unit')}</th></tr></thead>
        <tbody>{p.columns.map((c) => <tr><td>{c.title}</td><td>{c.use}</td><td>{c.channel ?? ''}</td><td>{c.unit ?? ''}</td></tr>)}</tbody></table>
      <h3>{t('recorder.reasons')}</h3><ul class="plainlist">{p.reasons.map((r) => <li>{r}</li>)}</ul>
      {p.doubts.length > 0 && <div class="notice"><h3>{t('recorder.doubts')}</h3><ul class="plainlist">{p.doubts.map((d) => <li><Mark word="too close to say" /> {d}</li>)}</ul></div>}
    </section>
  );
}

function Preview({ preview: p }: { preview: LayoutPreview }): JSX.Element {
  return (
    <section aria-labelledby="h-rows"><Head id="h-rows" title={t('recorder.preview')} note={`${p.total} · ${p.span}`} />
      <div class="scrolls" tabIndex={0} role="group" aria-label={t('recorder.preview')}>
        <table class="plain"><caption class="vh">{t('recorder.preview')}</caption><thead><tr>{p.columns.map((c) => <th scope="col">{c}</th>)}</tr></thead>
          <tbody>{p.rows.map((r) => <tr>{r.map((v) => <td>{v}</td>)}</tr>)}</tbody></table></div>
      <p><b>{t('recorder.skipped', { n: p.skipped_total })}</b></p>
      <ul class="plainlist skipped">{p.skipped.map((s) => <li>{t('fault.line', { line: s.line })}: {s.why}</li>)}</ul>
    </section>
  );
}

/// What cannot be said by a choice can be said in the layout itself.
function LayoutText({ layout, change }: { layout: Input; change(layout: Input): void }): JSX.Element {
  const [text, setText] = useState(() => JSON.stringify(layout, null, 2));
  const [bad, setBad] = useState(false);
  const use = (): void => {
    try {
      const read: unknown = JSON.parse(text);
      setBad(false);
      change(read as Input);
    } catch {
      setBad(true);
    }
  };
  return (
    <details class="more"><summary>{t('recorder.by_hand')}</summary>
      <div class="field"><label for="layout-text">{t('recorder.layout_text')}</label><textarea id="layout-text" class="code" rows={10} value={text} aria-invalid={bad} aria-describedby="layout-said" onInput={(e) => setText(e.currentTarget.value)} /><p id="layout-said" class="echo bad" role="alert">{bad ? t('recorder.not_json') : ''}</p></div>
      <button type="button" class="btn small" onClick={use}>{t('recorder.use_layout')}</button></details>
  );
}

/// `act` is told of the file with the members of `about`.
export function Recorder({ act, about, label, recorded }: { act: string; about: Input; label: string; recorded(): void }): JSX.Element {
  const [sending, setSending] = useState<Sending | null>(null);
  const [working, setWorking] = useState('');
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const [read, setRead] = useState<Read | null>(null);
  const stop = useRef<AbortController | null>(null);

  const fail = (fault: unknown): void => {
    if (!(fault instanceof Unreachable && stop.current?.signal.aborted)) setTrouble(troubleOf(fault));
  };
  const choose = async (file: File | undefined): Promise<void> => {
    setRead(null);
    setTrouble(null);
    if (!file) return;
    stop.current = new AbortController();
    const since = performance.now();
    setSending({ sent: 0, total: file.size, since });
    try {
      const attached = await api.attach(file, (sent, total) => setSending({ sent, total, since }), stop.current.signal);
      setSending(null);
      setWorking(t('recorder.reading'));
      const kept = { ...attached, name: file.name };
      const proposal = await api.proposeLayout(kept);
      setRead({ file: kept, proposal, preview: await api.previewLayout(kept, proposal.layout) });
    } catch (fault) {
      fail(fault);
    }
    setSending(null);
    setWorking('');
  };
  const change = async (layout: Input): Promise<void> => {
    if (!read) return;
    try {
      const { saved: _, ...proposal } = read.proposal;
      setRead({ ...read, proposal: { ...proposal, layout }, preview: await api.previewLayout(read.file, layout) });
    } catch (fault) {
      fail(fault);
    }
  };
  return (
    <section class="recorder" aria-labelledby="h-recorder"><Head id="h-recorder" title={t('recorder.title')} note={t('recorder.more')} />
      <FaultBox trouble={trouble} />
      <div class="form"><div class="field"><label for="recorder-file">{t('recorder.file')}</label><input id="recorder-file" type="file" accept=".csv,.txt,.tsv,.dat,.asc" disabled={sending !== null} onChange={(e) => choose(e.currentTarget.files?.[0])} /></div></div>
      {sending && <Progress sending={sending} cancel={() => stop.current?.abort()} />}
      <p role="status">{working}</p>
      {read && (
        <>
          <Proposal proposal={read.proposal} />
          <Preview preview={read.preview} />
          <LayoutText key={read.file.hash} layout={read.proposal.layout} change={change} />
          <RecordFile act={act} about={about} label={label} read={read} recorded={recorded} />
        </>
      )}
    </section>
  );
}

/// A new layout is issued under its name first; then the act names it.
function RecordFile({ act, about, label, read, recorded }: { act: string; about: Input; label: string; read: Read; recorded(): void }): JSX.Element {
  const { saved } = read.proposal;
  const [code, setCode] = useState('');
  const [name, setName] = useState('');
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const layout_token = useRef(newToken());
  const doing = useAct(act);
  const saveLayout = async (): Promise<string> => {
    if (saved) return saved.code;
    const noun = { code: code.trim(), name: name.trim() || code.trim(), mapping: read.proposal.layout };
    await api.act(layout_act, { token: layout_token.current, input: { noun, why: t('recorder.why', { file: read.file.name }) } });
    return noun.code;
  };
  const submit = async (e: Event): Promise<void> => {
    e.preventDefault();
    setTrouble(null);
    try {
      const layout = await saveLayout();
      if (await doing.run({ input: { ...about, attachment: read.file.hash, file_name: read.file.name, layout } })) recorded();
    } catch (fault) {
      setTrouble(troubleOf(fault));
    }
  };
  if (doing.done) return <Done done={doing.done} />;
  const unnamed = !saved && code.trim() === '';
  return (
    <form class="form" onSubmit={submit}>
      <FaultBox trouble={trouble ?? doing.trouble} />
      {!saved && (
        <div class="fields">
          <div class="field"><label for="layout-code">{t('recorder.code')}<span class="hint">{t('recorder.code.more')}</span></label><input id="layout-code" class="code" required value={code} autocomplete="off" onInput={(e) => setCode(e.currentTarget.value)} /></div>
          <div class="field"><label for="layout-name">{t('recorder.name')}</label><input id="layout-name" value={name} autocomplete="off" onInput={(e) => setName(e.currentTarget.value)} /></div>
        </div>
      )}
      <p class="send"><SendButton doing={doing} label={unnamed ? t('recorder.name_first') : label} /> <span class="soft">{t('form.nothing_yet')}</span></p>
    </form>
  );
}
