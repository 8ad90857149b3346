import type { JSX } from 'preact';
import { go } from '../router.ts';
import { SignIn } from '../parts/sign_in.tsx';
import { Page } from '../parts/shell.tsx';
import { useSession } from '../session.ts';
import { t } from '../words.ts';

/// Only addresses of these pages are gone to afterwards.
const ownAddress = (then: string | null): string => (then?.startsWith('/') && !then.startsWith('//') ? then : '/');

/// `stay`: shown in the place of a page that then appears by itself.
export function SignInPage({ then, stay }: { then: string | null; stay?: boolean }): JSX.Element {
  const { session } = useSession();
  return (
    <Page title={t('sign_in.title')} crumbs={[{ words: t('sign_in.title') }]}>
      <h1 class="say">{t('sign_in.title')}</h1>
      <p class="asof">{t('sign_in.more', { plant: session?.plant.name ?? '' })}</p>
      <SignIn {...(stay ? {} : { then: () => go(ownAddress(then)) })} />
    </Page>
  );
}
