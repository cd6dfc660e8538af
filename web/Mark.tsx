/** Small signs that stand beside words. Each differs in form, so that none needs its colour. */
export type MarkName =
  | 'good'
  | 'bad'
  | 'rest'
  | 'blind'
  | 'high'
  | 'medium'
  | 'low'
  | 'done'
  | 'short'
  | 'unproven'
  | 'now'
  | 'open'
  | 'none';

const PATHS: Readonly<Record<MarkName, { readonly body: string; readonly cut?: string }>> = {
  good: { body: 'M12 1.5a10.5 10.5 0 1 0 0 21a10.5 10.5 0 1 0 0-21z', cut: 'M6.5 12.5l3.8 3.8l7.2-8' },
  bad: { body: 'M12 1L23.5 22H.5z', cut: 'M12 8v6.5M12 17.6v1.9' },
  rest: { body: 'M4 3h16a1 1 0 0 1 1 1v16a1 1 0 0 1-1 1H4a1 1 0 0 1-1-1V4a1 1 0 0 1 1-1z', cut: 'M9 8v8M15 8v8' },
  blind: { body: 'M12 .8L23.2 12L12 23.2L.8 12z', cut: 'M7.5 7.5l9 9M16.5 7.5l-9 9' },
  high: { body: 'M7.5 1h9L23 7.5v9L16.5 23h-9L1 16.500V7.5z', cut: 'M9.500 8.500L12.500 6.500V17.500' },
  medium: {
    body: 'M12 1L23.5 22H.5z',
    cut: 'M9.300 12.500c0-3.600 5.400-3.600 5.400-.4c0 2-5.400 3.900-5.400 6.100h5.600',
  },
  low: { body: 'M2 2h20v20H2z', cut: 'M9 7.500h5.500l-3 3.800c5 0 4.500 6.200-.2 6.200c-1.500 0-2.300-.8-2.600-1.700' },
  done: { body: 'M2 2h20v20H2z', cut: 'M6.500 12.500l3.800 3.800l7.200-8' },
  short: { body: 'M12 1L23.5 22H.5z', cut: 'M12 8v6.500M12 17.600v1.900' },
  unproven: {
    body: 'M12 .8L23.2 12L12 23.2L.8 12z',
    cut: 'M9.200 9.600c0-3.600 5.700-3.500 5.700-.2c0 2-2.900 2.200-2.900 4.600M12 16v1.900',
  },
  now: { body: 'M3 2.500L22 12L3 21.500z' },
  open: { body: '' },
  none: { body: '' },
};

export function Mark({ name, size = 16 }: { readonly name: MarkName; readonly size?: number }) {
  const { body, cut } = PATHS[name];
  return (
    <svg class={`mark mark-${name}`} width={size} height={size} viewBox="0 0 24 24" aria-hidden="true">
      {name === 'open' && <circle cx="12" cy="12" r="8" class="mark-ring" />}
      {name === 'none' && <path d="M6 12h12" class="mark-ring" />}
      {body && <path d={body} class="mark-body" />}
      {cut && <path d={cut} class="mark-cut" />}
    </svg>
  );
}
