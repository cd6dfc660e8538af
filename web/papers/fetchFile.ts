/** A file of the service fetched so that it can be told how far it is, and handed to the browser to keep. */

interface FetchedFile {
  readonly blob: Blob;
  readonly name: string;
}

/** RFC 6266: the name that is safe on every disk. */
const namedIn = (header: string | null): string | undefined => /filename="([\w.-]+)"/.exec(header ?? '')?.[1];

/** A refusal is one line of JSON. */
async function refusal(request: XMLHttpRequest): Promise<Error> {
  const text = await (request.response as Blob | null)?.text();
  const said = /"error":("(?:[^"\\]|\\.)*")/.exec(text ?? '')?.[1];
  return new Error(said ? String(JSON.parse(said)) : `the service answered ${request.status}`);
}

/**
 * Not by `fetch`, which tells nothing of how far it is unless every piece is taken by hand; a blob may lie on the disk.
 * @param told bytes so far, and of how many, where that is known @throws Error with one line for a person
 */
export async function fetchFile(
  url: string,
  ends: string,
  signal: AbortSignal,
  told: (bytes: number, of: number | null) => void,
): Promise<FetchedFile> {
  const request = new XMLHttpRequest();
  await new Promise<void>((resolve, reject) => {
    request.open('GET', url);
    request.responseType = 'blob';
    request.onprogress = ({ loaded, total, lengthComputable }) => told(loaded, lengthComputable ? total : null);
    request.onload = () => resolve();
    request.onerror = () => reject(new Error('the service did not answer, or broke off'));
    request.onabort = () => reject(new Error('stopped'));
    signal.addEventListener('abort', () => request.abort());
    request.send();
  });
  if (request.status !== 200) throw await refusal(request);
  const blob = request.response as Blob;
  const name = namedIn(request.getResponseHeader('content-disposition')) ?? ends;
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
