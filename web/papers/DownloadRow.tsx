/** One file, and how far it is on its way. */
import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { decimal } from '../figures.ts';
import { saysOf } from '../library/askLibrary.ts';
import { fetchFile } from './fetchFile.ts';

type Download =
  | { readonly kind: 'none' }
  /** The service works it out: nothing has come yet. */
  | { readonly kind: 'waiting' }
  | { readonly kind: 'coming'; readonly bytes: number; readonly of: number | null }
  | { readonly kind: 'done'; readonly bytes: number; readonly name: string }
  | { readonly kind: 'refused'; readonly why: string };

interface RowProps {
  readonly name: string;
  readonly says: string;
  readonly url: string;
  /** What the file is called where the service does not say. */
  readonly ends: string;
}

const sizeText = (bytes: number): string =>
  bytes < 1e6 ? `${decimal(Math.ceil(bytes / 1e3), 0)} kB` : `${decimal(bytes / 1e6, bytes < 1e7 ? 1 : 0)} MB`;

export function DownloadRow({ name, says, url, ends }: RowProps) {
  const download = useSignal<Download>({ kind: 'none' });
  const stop = useRef<AbortController | null>(null);
  useEffect(() => () => stop.current?.abort(), []);
  const begin = async () => {
    stop.current = new AbortController();
    download.value = { kind: 'waiting' };
    try {
      const { blob, name: named } = await fetchFile(url, ends, stop.current.signal, (bytes, of) => {
        download.value = { kind: 'coming', bytes, of };
      });
      download.value = { kind: 'done', bytes: blob.size, name: named };
    } catch (fault) {
      download.value = stop.current.signal.aborted ? { kind: 'none' } : { kind: 'refused', why: saysOf(fault) };
    }
  };
  const state = download.value;
  const isUnderWay = state.kind === 'waiting' || state.kind === 'coming';
  return (
    <div class="file-row">
      <span class="file-says">{says}</span>
      <span
        class={`file-told${state.kind === 'refused' ? ' is-refused' : ''}`}
        role="status"
        data-testid={`told-${name}`}
      >
        {state.kind === 'waiting' && 'The service is working it out…'}
        {state.kind === 'coming' &&
          (state.of
            ? `${decimal(Math.floor((100 * state.bytes) / state.of), 0)} %`
            : `${sizeText(state.bytes)} so far`)}
        {state.kind === 'done' && `${state.name}, ${sizeText(state.bytes)}`}
        {state.kind === 'refused' && state.why}
      </span>
      {isUnderWay && (
        <progress {...(state.kind === 'coming' && state.of ? { value: state.bytes, max: state.of } : {})} />
      )}
      {isUnderWay ? (
        <button type="button" onClick={() => stop.current?.abort()}>
          Stop
        </button>
      ) : (
        <button type="button" data-testid={`get-${name}`} aria-label={`Download: ${says}`} onClick={() => void begin()}>
          Download
        </button>
      )}
    </div>
  );
}
