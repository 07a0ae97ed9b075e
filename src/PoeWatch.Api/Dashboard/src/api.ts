// Calls of the REST API and the live stream. The key, where the service asks for one, stays in this tab.
import type { LiveEvent, Page, Problem } from './contract';
import { EventLines } from './events';

const keyName = 'poewatch-key';

export class KeyNeeded extends Error {}

function headers(more: Record<string, string> = {}): Record<string, string> {
  const key = sessionStorage.getItem(keyName);
  return key ? { ...more, Authorization: `Bearer ${key}` } : more;
}

export function useKey(key: string): void {
  sessionStorage.setItem(keyName, key.trim());
}

export function hasKey(): boolean {
  return sessionStorage.getItem(keyName) !== null;
}

async function checked(response: Response): Promise<Response> {
  if (response.status === 401) throw new KeyNeeded('The service asks for a key.');
  if (response.ok || response.status === 503 && response.headers.get('Content-Type')?.startsWith('application/json')) return response;
  const problem = await response.json().catch(() => ({ title: `HTTP ${response.status}`, detail: '' })) as Problem;
  throw new Error(`${problem.title}. ${problem.detail}`);
}

export async function get<T>(path: string): Promise<T> {
  return (await checked(await fetch(`api/v1/${path}`, { headers: headers() }))).json() as Promise<T>;
}

/** All items of a list, page by page, up to a bound that this page can still show. */
export async function all<T>(path: string, itemsMax = 5000): Promise<T[]> {
  const items: T[] = [];
  let cursor: string | null = null;
  do {
    const page: Page<T> = await get(`${path}${path.includes('?') ? '&' : '?'}limit=500${cursor ? `&cursor=${cursor}` : ''}`);
    items.push(...page.items);
    cursor = page.nextCursor;
  } while (cursor && items.length < itemsMax);
  return items;
}

export async function post<T>(path: string, body: unknown): Promise<T> {
  const response = await fetch(`api/v1/${path}`, {
    method: 'POST', headers: headers({ 'Content-Type': 'application/json' }), body: JSON.stringify(body),
  });
  return (await checked(response)).json() as Promise<T>;
}

export async function remove<T>(path: string): Promise<T> {
  return (await checked(await fetch(`api/v1/${path}`, { method: 'DELETE', headers: headers() }))).json() as Promise<T>;
}

export async function blob(path: string): Promise<Blob> {
  return (await checked(await fetch(`api/v1/${path}`, { headers: headers() }))).blob();
}

export interface Line {
  event(type: string, event: LiveEvent): void;
  state(words: string, isUp: boolean): void;
  keyNeeded(): void;
}

const silenceMaxMs = 45_000;

/** Follows the live stream for good; after a break it carries on from the last event. */
export async function follow(line: Line): Promise<void> {
  let lastId: string | null = null;
  for (let failures = 0; ; ) {
    const ending = new AbortController();
    let watchdog = 0;
    const alive = () => {
      window.clearTimeout(watchdog);
      watchdog = window.setTimeout(() => ending.abort(), silenceMaxMs);
    };
    try {
      alive();
      const response = await checked(await fetch('api/v1/stream', {
        headers: headers(lastId ? { 'Last-Event-ID': lastId } : {}), signal: ending.signal, cache: 'no-store',
      }));
      line.state('Live', true);
      failures = 0;
      const lines = new EventLines();
      const text = response.body!.pipeThrough(new TextDecoderStream()).getReader();
      for (let piece = await text.read(); !piece.done; piece = await text.read()) {
        alive();
        for (const event of lines.feed(piece.value)) {
          lastId = event.id ?? lastId;
          line.event(event.type, JSON.parse(event.data) as LiveEvent);
        }
      }
    } catch (e) {
      if (e instanceof KeyNeeded) {
        window.clearTimeout(watchdog);
        line.keyNeeded();
        return;
      }
    }
    window.clearTimeout(watchdog);
    const waitSeconds = Math.min(30, 2 ** failures++);
    line.state(`The line is down: what you see is old. Trying again in ${waitSeconds} s.`, false);
    await new Promise((done) => window.setTimeout(done, waitSeconds * 1000));
  }
}
