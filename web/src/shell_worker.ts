/// Keeps what the stations are drawn with, so that a reload without network draws them again.
/// Answers of the service are never kept: a station that cannot ask says so.
interface Lives extends Event { waitUntil(done: Promise<unknown>): void }
interface Asked extends Lives { request: Request; respondWith(answer: Promise<Response>): void }
interface Worker { skipWaiting(): Promise<void>; clients: { claim(): Promise<void> } }

const store = 'shell';
const page = '/stations';
const worker = self as unknown as Worker & typeof globalThis;

const isPage = (request: Request): boolean => request.mode === 'navigate';
const isFile = (url: URL): boolean => url.pathname.startsWith('/assets/');

/// A file's name carries its content: what is kept is what the service would send.
async function file(request: Request): Promise<Response> {
  return (await caches.match(request, { ignoreVary: true })) ?? fetch(request);
}

async function shell(request: Request): Promise<Response> {
  try {
    return await fetch(request);
  } catch (fault) {
    const kept = await caches.match(page, { ignoreVary: true });
    if (kept) return kept;
    throw fault;
  }
}

/// What a station has loaded so far; files of an older program go.
async function keep(files: string[]): Promise<void> {
  const cache = await caches.open(store);
  await cache.addAll([page, ...files]);
  const wanted = new Set([page, ...files]);
  for (const old of await cache.keys()) if (!wanted.has(new URL(old.url).pathname)) await cache.delete(old);
}

worker.addEventListener('install', (e) => (e as Lives).waitUntil(worker.skipWaiting()));
worker.addEventListener('activate', (e) => (e as Lives).waitUntil(worker.clients.claim()));
worker.addEventListener('message', (e) => (e as unknown as Lives).waitUntil(keep((e as MessageEvent<string[]>).data)));
worker.addEventListener('fetch', (e) => {
  const { request, respondWith } = e as unknown as Asked;
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== location.origin) return;
  if (isFile(url)) respondWith.call(e, file(request));
  else if (isPage(request) && !url.pathname.startsWith('/api/')) respondWith.call(e, shell(request));
});
export {};
