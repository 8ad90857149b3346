/// What goes wrong, said calmly: what, where, what to do, and whether anything was recorded.
import type { JSX } from 'preact';
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { Missing, Problem } from '../api.ts';
import { troubleOf, type Trouble } from '../act.ts';
import type { Asked } from '../ask.ts';
import { controlId } from '../entry.ts';
import { t } from '../words.ts';
import { SignIn } from './sign_in.tsx';

export function MissingList({ missing }: { missing: Missing[] }): JSX.Element {
  return (
    <ul class="missing">
      {missing.map((m) => <li><b>{m.what}</b>{m.who && <span>{t('missing.who', { who: m.who })}</span>}{m.how && <span>{m.how}</span>}</li>)}
    </ul>
  );
}

function placeWords({ where }: Problem): string {
  const parts = [where?.file, where?.line ? t('fault.line', { line: where.line }) : '', where?.column ? t('fault.column', { column: where.column }) : ''];
  return parts.filter(Boolean).join(', ');
}

export function ProblemWords({ problem, fields }: { problem: Problem; fields?: boolean }): JSX.Element {
  const field = problem.where?.field;
  const place = placeWords(problem);
  const detail = problem.detail || problem.title;
  return (
    <>
      <p>{fields && field ? <a href={`#${controlId(field)}`} onClick={(e) => focusControl(e, controlId(field))}>{detail}</a> : detail}</p>
      {place && <p class="soft">{place}</p>}
      {problem.expected && <p>{t('fault.expected', { expected: problem.expected })}</p>}
      {problem.remedy && <p>{problem.remedy}</p>}
      {problem.missing?.length ? <MissingList missing={problem.missing} /> : null}
    </>
  );
}

/// Errors link to their field; a member without a control of its own leads to the one around it.
export function focusControl(e: Event, id: string): void {
  e.preventDefault();
  for (let part = id; part.length > 1; part = part.slice(0, Math.max(part.lastIndexOf('-'), 0))) {
    const control = document.getElementById(part);
    if (!control) continue;
    const inner = control.matches('input,select,textarea,button') ? control : control.querySelector<HTMLElement>('input,select,textarea,button');
    (inner ?? control).focus();
    return;
  }
}

export interface FieldFault { path: string; words: string }

/// The box above a form: it takes the focus, so that it is read and seen first.
export function FaultBox({ trouble, missing, retry }: { trouble: Trouble | null; missing?: FieldFault[]; retry?: () => void }): JSX.Element | null {
  const box = useRef<HTMLDivElement>(null);
  const any = trouble !== null || (missing?.length ?? 0) > 0;
  // Before the next key: a late focus would swallow what is typed.
  useLayoutEffect(() => { if (any) box.current?.focus(); }, [trouble, missing]);
  if (!any) return null;
  const calm = trouble?.kind === 'unreachable';
  return (
    <div class={calm ? 'fault calm' : 'fault'} role={calm ? 'status' : 'alert'} tabIndex={-1} ref={box}>
      {missing?.length ? (
        <>
          <h2>{t('fault.fields')}</h2>
          <ul>{missing.map((m) => <li><a href={`#${controlId(m.path)}`} onClick={(e) => focusControl(e, controlId(m.path))}>{m.words}</a></li>)}</ul>
        </>
      ) : null}
      {trouble && <TroubleWords trouble={trouble} {...(retry ? { retry } : {})} />}
    </div>
  );
}

function TroubleWords({ trouble, retry }: { trouble: Trouble; retry?: () => void }): JSX.Element {
  if (trouble.kind === 'unreachable') {
    return (
      <>
        <h2>{t('fault.unreachable')}</h2>
        <p>{t('fault.unreachable.more')}</p>
        {retry && <button type="button" class="btn" onClick={retry}>{t('fault.again')}</button>}
      </>
    );
  }
  const { problem } = trouble;
  if (problem.status === 401) return <><h2>{t('fault.signed_out')}</h2><SignIn inline {...(retry ? { then: retry } : {})} /></>;
  return <><h2>{headline(problem)}</h2><ProblemWords problem={problem} fields /></>;
}

/// Whether anything was recorded is the first question after a refusal.
function headline(problem: Problem): string {
  if (problem.status >= 500) return t('fault.service');
  if (problem.status === 409) return t('fault.conflict');
  return problem.missing?.length ? t('fault.refused') : t('fault.input');
}

const slow_after_ms = 500;
export function Waiting(): JSX.Element {
  const [slow, setSlow] = useState(false);
  useEffect(() => {
    const timer = setTimeout(() => setSlow(true), slow_after_ms);
    return () => clearTimeout(timer);
  }, []);
  return <p class="waiting" role="status">{slow ? t('wait.slow') : ''}</p>;
}

/// What was asked for, or why it is not here.
export function Answer<T>({ asked, children }: { asked: Asked<T>; children: (value: T) => JSX.Element }): JSX.Element {
  if (asked.value !== undefined) {
    return (
      <>
        <p class="moved" role="status">{asked.held && <>{t('live.moved')} <button type="button" class="btn small" onClick={asked.show}>{t('live.show')}</button></>}</p>
        {children(asked.value)}
      </>
    );
  }
  if (asked.waiting) return <Waiting />;
  const trouble = troubleOf(asked.fault);
  if (trouble.kind === 'refused' && trouble.problem.status === 404) return <NotHere problem={trouble.problem} />;
  return <FaultBox trouble={trouble} retry={asked.again} />;
}

function NotHere({ problem }: { problem: Problem }): JSX.Element {
  return <div class="fault calm" role="alert"><h1>{t('fault.not_here')}</h1><ProblemWords problem={problem} /></div>;
}
