/// What stands under a gauge: calibration, checks, studies, results, and when it was found wrong.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { api, type GaugePage, type GaugeStudy, type GaugeTouched, type GaugeUse, type GaugeWrong } from '../api.ts';
import { useAsk } from '../ask.ts';
import { actHref, Permissions } from '../parts/bar.tsx';
import { Answer, MissingList } from '../parts/faults.tsx';
import { WorkingTable } from '../parts/findings.tsx';
import { Marked } from '../parts/marks.tsx';
import { Figure, Head, Thing } from '../parts/text.tsx';
import { t } from '../words.ts';

export function GaugeTrust({ code }: { code: string }): JSX.Element {
  const asked = useAsk(`gauge ${code}`, () => api.gauge(code), { kind: 'gauge', id: code });
  return <Answer asked={asked}>{(gauge) => <Body gauge={gauge} />}</Answer>;
}

function Body({ gauge: g }: { gauge: GaugePage }): JSX.Element {
  return (
    <>
      <p><Marked word={g.calibration.word} words={g.calibration.words} /> <span class="soft">{g.calibration.certificate}</span></p>
      {g.wrong.map((w) => <Wrong key={w.fact} wrong={w} />)}
      {g.studies.length > 0 && (
        <section aria-labelledby="h-studies"><Head id="h-studies" title={t('gauge.studies')} />
          {g.studies.map((s) => <Study key={s.fact} study={s} />)}</section>
      )}
      {g.checks.length > 0 && <Checks gauge={g} />}
      <Permissions permitted={g.acts} />
      {g.lately.length > 0 && <section aria-labelledby="h-lately"><Head id="h-lately" title={t('gauge.lately')} /><Uses uses={g.lately} /></section>}
    </>
  );
}

const FactLink = ({ sequence }: { sequence: number }): JSX.Element => <a href={`/facts/${sequence}`}>{t('done.fact', { sequence })}</a>;

function Checks({ gauge: g }: { gauge: GaugePage }): JSX.Element {
  return (
    <section aria-labelledby="h-checks">
      <Head id="h-checks" title={t('gauge.checks')} />
      {g.checks_svg !== '' && <div class="scrolls" tabIndex={0} role="group" aria-label={t('gauge.run')}><Figure svg={g.checks_svg} large /></div>}
      <div class="scrolls" tabIndex={0} role="group" aria-label={t('gauge.checks')}><table class="plain"><caption class="vh">{t('gauge.checks')}</caption>
        <thead><tr><th scope="col">{t('today.state')}</th><th scope="col">{t('gauge.when')}</th><th scope="col">{t('gauge.readings')}</th><th scope="col">{t('gauge.who')}</th></tr></thead>
        <tbody>{g.checks.map((c) => <tr key={c.fact}><td><Marked word={c.word} words={c.words} /></td><td><a href={`/facts/${c.fact}`}>{c.when}</a></td><td>{c.readings}</td><td>{c.who}</td></tr>)}</tbody></table></div>
    </section>
  );
}

function Study({ study: s }: { study: GaugeStudy }): JSX.Element {
  const [open, setOpen] = useState(false);
  return (
    <section>
      <h3>{s.title} <span class="soft">{s.when}, {s.who}</span></h3>
      <p>{s.word !== '' && !s.mended ? <Marked word={s.word} words={s.words} /> : s.words} {s.mended && <b>{t('gauge.mended')}</b>}</p>
      <div class="scrolls" tabIndex={0} role="group" aria-label={s.title}>
        <table class="plain inner"><tbody>{s.figures.map((f) => <tr><td><i>{f.symbol}</i></td><td>{f.words}</td><td class="num">{f.value}</td></tr>)}</tbody></table>
      </div>
      {s.accept && (s.accept.blocked?.length ? <MissingList missing={s.accept.blocked} /> : <p><a class="btn" href={actHref(s.accept)}>{s.accept.label}</a></p>)}
      <p><button type="button" class="plain" aria-expanded={open} onClick={() => setOpen(!open)}>{t(open ? 'gauge.close' : 'gauge.working')}</button> · <FactLink sequence={s.fact} /></p>
      {open && (
        <div class="working">
          <p class="formula">{s.working.formula}</p>
          <p class="formula">{s.working.substituted_formula}</p>
          <WorkingTable rows={s.working.working} />
          {s.working.notes.map((n) => <p>{n}</p>)}
          <p class="srcs">{s.working.title}. {s.working.source} ({s.working.source_mark})</p>
        </div>
      )}
    </section>
  );
}

/// When it was found wrong, who answers for what it read, and what leans on it.
function Wrong({ wrong: w }: { wrong: GaugeWrong }): JSX.Element {
  return (
    <section class="permitted" aria-labelledby={`wrong-${w.fact}`}>
      <h2 id={`wrong-${w.fact}`}>{t('gauge.wrong', { when: w.when })}</h2>
      <p>{w.found}{w.off !== '' && <>; {t('gauge.off', { off: w.off })}</>}. <FactLink sequence={w.fact} /></p>
      <p>{t('gauge.last_right', { when: w.last_right_when })} <FactLink sequence={w.last_right} />{w.right_again !== '' && <>; {t('gauge.right_again', { when: w.right_again })}</>}</p>
      <p><Marked word={w.word} words={w.words} /></p>
      {w.assess && (w.assess.blocked?.length ? <MissingList missing={w.assess.blocked} /> : <p><a class="btn" href={actHref(w.assess)}>{w.assess.label}</a></p>)}
      <h3>{t('gauge.touched', { n: w.touched.length })}</h3>
      {w.touched.length > 0 && (
        <div class="scrolls" tabIndex={0} role="group" aria-label={t('gauge.touched', { n: w.touched.length })}><table class="plain"><caption class="vh">{t('gauge.touched', { n: w.touched.length })}</caption>
          <thead><tr><th scope="col">{t('gauge.of')}</th><th scope="col">{t('gauge.verdicts')}</th><th scope="col">{t('gauge.where')}</th></tr></thead>
          <tbody>{w.touched.map((row) => <Touched row={row} />)}</tbody></table></div>
      )}
      <details><summary>{t('gauge.results', { n: w.results.length })}</summary><Uses uses={w.results} /></details>
    </section>
  );
}

function Touched({ row }: { row: GaugeTouched }): JSX.Element {
  return (
    <tr>
      <td class="thing"><Thing kind={row.of.kind} id={row.of.id} named /></td>
      <td>{row.verdicts.map((v) => <p>{v}</p>)}</td>
      <td>{row.words}{row.boxes.length > 0 && <ul>{row.boxes.map((b) => <li><span class="no">{b.box}</span>, {b.pads}: {b.words}</li>)}</ul>}</td>
    </tr>
  );
}

function Uses({ uses }: { uses: GaugeUse[] }): JSX.Element {
  return (
    <div class="scrolls" tabIndex={0} role="group" aria-label={t('gauge.lately')}><table class="plain"><caption class="vh">{t('gauge.lately')}</caption>
      <thead><tr><th scope="col">{t('gauge.when')}</th><th scope="col">{t('gauge.of')}</th><th scope="col">{t('gauge.what')}</th></tr></thead>
      <tbody>{uses.map((u) => <tr><td><a href={`/facts/${u.fact}`}>{u.when}</a></td><td class="thing"><Thing kind={u.of.kind} id={u.of.id} named /></td><td>{u.what}</td></tr>)}</tbody></table></div>
  );
}
