import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { api } from '../api.ts';
import { troubleOf, type Trouble } from '../act.ts';
import { useSession } from '../session.ts';
import { t } from '../words.ts';
import { ProblemWords } from './faults.tsx';

export function SignIn({ inline, then }: { inline?: boolean; then?: () => void }): JSX.Element {
  const { set, session } = useSession();
  const [login, setLogin] = useState('');
  const [password, setPassword] = useState('');
  const [sending, setSending] = useState(false);
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const [done, setDone] = useState(false);

  const submit = async (): Promise<void> => {
    if (sending) return;
    setSending(true);
    try {
      set(await api.signIn(login.trim(), password));
      setDone(true);
      then?.();
    } catch (fault) {
      setTrouble(troubleOf(fault));
      setPassword('');
    }
    setSending(false);
  };
  if (done && inline) return <p role="status">{t('sign_in.done', { duty: session?.person?.duty ?? '' })}</p>;
  const id = inline ? 'inline-' : '';
  const fields = (
    <>
      {trouble && <div role="alert" class="fault">{trouble.kind === 'refused' ? <ProblemWords problem={trouble.problem} /> : <p>{t('fault.unreachable')}</p>}</div>}
      <div class="field"><label for={`${id}login`}>{t('sign_in.login')}</label>
        <input id={`${id}login`} autocomplete="username" autocapitalize="none" spellcheck={false} required value={login} onInput={(e) => setLogin(e.currentTarget.value)} /></div>
      <div class="field"><label for={`${id}password`}>{t('sign_in.password')}</label>
        <input id={`${id}password`} type="password" autocomplete="current-password" required value={password} onInput={(e) => setPassword(e.currentTarget.value)} /></div>
      <p><button class="btn do" type={inline ? 'button' : 'submit'} disabled={sending} onClick={inline ? submit : undefined}>{sending ? t('sign_in.sending') : t('sign_in.do')}</button></p>
    </>
  );
  // Within another form this is no form of its own: Enter must not send that one.
  if (inline) return <div class="form narrow" onKeyDown={(e) => { if (e.key === 'Enter') { e.preventDefault(); e.stopPropagation(); void submit(); } }}>{fields}</div>;
  return <form class="form narrow" onSubmit={(e) => { e.preventDefault(); void submit(); }}>{fields}</form>;
}
