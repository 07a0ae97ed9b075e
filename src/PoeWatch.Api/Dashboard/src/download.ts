// Saves an answer of the API as a file.
import { blob, hasKey } from './api';
import { h } from './dom';

/** Without a key the browser writes straight to disk; with one the file has to pass through this tab, since an address must not hold a key. */
export async function download(path: string, name: string, note: HTMLElement, during: string, after: string): Promise<void> {
  try {
    note.textContent = during;
    const address = hasKey() ? URL.createObjectURL(await blob(path)) : `api/v1/${path}`;
    const anchor = h('a', { href: address, download: name });
    document.body.append(anchor);
    anchor.click();
    anchor.remove();
    if (hasKey()) window.setTimeout(() => URL.revokeObjectURL(address), 60_000);
    note.textContent = after;
  } catch (e) {
    note.textContent = `Not saved. ${(e as Error).message}`;
  }
}
