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

  const submit = async (e: Event): Promise<void> => {
    e.preventDefault();
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
  return (
    <form class="form narrow" onSubmit={submit}>
      {trouble && <div role="alert" class="fault">{trouble.kind === 'refused' ? <ProblemWords problem={trouble.problem} /> : <p>{t('fault.unreachable')}</p>}</div>}
      <div class="field"><label for={`${id}login`}>{t('sign_in.login')}</label>
        <input id={`${id}login`} autocomplete="username" autocapitalize="none" spellcheck={false} required value={login} onInput={(e) => setLogin(e.currentTarget.value)} /></div>
      <div class="field"><label for={`${id}password`}>{t('sign_in.password')}</label>
        <input id={`${id}password`} type="password" autocomplete="current-password" required value={password} onInput={(e) => setPassword(e.currentTarget.value)} /></div>
      <p><button class="btn do" disabled={sending}>{sending ? t('sign_in.sending') : t('sign_in.do')}</button></p>
    </form>
  );
}
