/** A file of the service fetched piece by piece, so that it can be told how far it is, and handed to the browser to keep. */

interface FetchedFile {
  readonly blob: Blob;
  readonly name: string;
}

/** RFC 6266: the name that is safe on every disk. */
const namedIn = (header: string | null): string | undefined => /filename="([\w.-]+)"/.exec(header ?? '')?.[1];

/** @param told bytes so far, and of how many, where that is known @throws Error with one line for a person */
export async function fetchFile(
  url: string,
  ends: string,
  signal: AbortSignal,
  told: (bytes: number, of: number | null) => void,
): Promise<FetchedFile> {
  const answer = await fetch(url, { signal });
  if (!answer.ok || !answer.body) {
    const body = (await answer.json().catch(() => null)) as { error?: unknown } | null;
    throw new Error(typeof body?.error === 'string' ? body.error : `the service answered ${answer.status}`);
  }
  const length = Number(answer.headers.get('content-length'));
  const of = length > 0 ? length : null;
  const parts: Uint8Array<ArrayBuffer>[] = [];
  let bytes = 0;
  const reader = answer.body.getReader();
  for (let next = await reader.read(); !next.done; next = await reader.read()) {
    parts.push(next.value);
    bytes += next.value.length;
    told(bytes, of);
  }
  const blob = new Blob(parts, { type: answer.headers.get('content-type') ?? 'application/octet-stream' });
  const name = namedIn(answer.headers.get('content-disposition')) ?? ends;
  hand(blob, name);
  return { blob, name };
}

/** Time in which every browser has begun to keep it. */
const KEPT_WITHIN_MS = 60_000;

function hand(blob: Blob, name: string): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), KEPT_WITHIN_MS);
}
