// Keeps the field page on the phone, where the browser lets it: over https, or on the
// laptop itself. Only the page's own files are kept, nothing that anybody typed or sent.
const kept = "tenoff-field";
const page = "/field";

/** A service worker's scope, which the DOM's types leave out. */
interface Scope {
  addEventListener(kind: "install" | "activate", act: (event: { waitUntil(done: Promise<unknown>): void }) => void): void;
  addEventListener(kind: "fetch", act: (event: { request: Request; respondWith(answer: Promise<Response>): void }) => void): void;
  skipWaiting(): Promise<void>;
  clients: { claim(): Promise<void> };
}
const scope = globalThis as unknown as Scope;

scope.addEventListener("install", (event) => event.waitUntil(fetchAll().then(() => scope.skipWaiting())));
scope.addEventListener("activate", (event) => event.waitUntil(scope.clients.claim()));
scope.addEventListener("fetch", (event) => {
  const { pathname } = new URL(event.request.url);
  if (event.request.method !== "GET") return;
  if (pathname === page) event.respondWith(fresh());
  else if (pathname.startsWith("/assets/")) event.respondWith(held(event.request));
});

/** The files that a page names. */
const named = (html: string): string[] => [...html.matchAll(/(?:src|href)="(\/assets\/[^"]+)"/g)].map((m) => m[1]!);

/** Puts the page and all that it names into the cache, and takes out what it names no more. */
async function fetchAll(): Promise<Response> {
  const answer = await fetch(page, { cache: "no-cache" });
  if (!answer.ok) throw new Error(`the page answers ${answer.status}`);
  const html = await answer.clone().text();
  const files = named(html);
  const cache = await caches.open(kept);
  for (const file of files) {
    if (!(await cache.match(file))) await cache.add(file);
  }
  await cache.put(page, answer.clone()); // last: it is kept only with all that it needs
  for (const old of await cache.keys()) {
    const { pathname } = new URL(old.url);
    if (pathname !== page && !files.includes(pathname)) await cache.delete(old);
  }
  return answer;
}

/** How long the laptop is waited for before the page that is kept is shown, ms. */
const patience = 2500;

async function fresh(): Promise<Response> {
  const late = new Promise<undefined>((done) => setTimeout(done, patience));
  const first = await Promise.race([fetchAll().catch(() => undefined), late]);
  return first ?? (await caches.match(page)) ?? fetch(page);
}

async function held(request: Request): Promise<Response> {
  return (await caches.match(request)) ?? fetch(request);
}
