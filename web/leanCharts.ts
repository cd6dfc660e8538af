/**
 * uPlot without the parts that our tracks never reach. The tracks draw their own curves, marks and bands and bring their
 * own ranges (`traces/chartOptions.ts`), but uPlot hangs its own on the chart as defaults, where no bundler can see that
 * they stay unused: a third of what a viewer would fetch of it. A part that is reached after all says so aloud.
 */
import { type Plugin, parseSync } from 'vite';

const LEFT_OUT = [
  // Curves: ours come from buckets (`traces/trackDrawing.ts`).
  ...[
    'bars',
    'stepped',
    'monotoneCubic',
    'findGaps',
    'clipGaps',
    'addGap',
    'clipBandLine',
    'bandFillClipDirs',
    'orient',
  ],
  // Time axes: ours know the zone of the rig (`traces/timeAxis.ts`).
  'tzDate',
  // Ranges and marks of values: `traces/valueScale.ts`.
  ...['rangeLog', 'rangeAsinh', 'numAxisSplits', 'logAxisSplits', 'asinhAxisSplits'],
  ...['log10AxisValsFilt', 'log2AxisValsFilt', 'join'],
  // The legend, and series that come and go.
  ...['initLegendRow', 'syncLegend', 'setLegendValues', 'addSeries', 'delSeries'],
] as const;
/** Makers that every chart calls as it is made, for parts that it then never asks, and what they make instead. */
const MAKERS = {
  linear: 'null',
  points: 'null',
  genTimeStuffs: '[[], [], () => null]',
  timeAxisVals: 'null',
  fmtDate: 'null',
} as const;

interface Node {
  readonly type: string;
  readonly start: number;
  readonly end: number;
}
type Declared = Node & { readonly id?: { readonly name?: string } | null };
type Block = Node & { readonly body: readonly Declared[] };

/** Functions declared on the top level and in the chart itself, by name: `function a() {}` and `const a = …`. */
function functionsOf(code: string): Map<string, { readonly start: number; readonly end: number }> {
  const found = new Map<string, { start: number; end: number }>();
  const take = (statements: readonly Declared[]): void => {
    for (const statement of statements) {
      if (statement.type === 'FunctionDeclaration') found.set(statement.id!.name!, statement);
      for (const one of (statement as { declarations?: readonly (Declared & { init?: Node | null })[] }).declarations ??
        [])
        if (one.init && one.id?.name) found.set(one.id.name, one.init);
    }
  };
  const body = parseSync('uPlot.js', code).program.body as unknown as readonly (Declared & { body?: Block })[];
  take(body);
  take(body.find(({ id }) => id?.name === 'uPlot')?.body?.body ?? []);
  return found;
}

export const leanCharts: Plugin = {
  name: 'lean-charts',
  enforce: 'pre',
  transform: {
    filter: { id: /uPlot\.esm\.js$/ },
    handler(code) {
      const functions = functionsOf(code);
      const instead = [
        ...LEFT_OUT.map((name) => [name, `{ throw new Error('uPlot was built without ${name}: web/leanCharts.ts'); }`]),
        ...Object.entries(MAKERS).map(([name, made]) => [name, `{ return ${made}; }`]),
      ].map(([name, body]) => {
        const place = functions.get(name!);
        if (!place) this.error(`uPlot has no ${name} any more: see web/leanCharts.ts`);
        const isDeclared = code.startsWith('function', place.start);
        return { ...place, start: place.start, end: place.end, text: `function ${isDeclared ? name : ''}() ${body}` };
      });
      let lean = code;
      for (const { start, end, text } of instead.sort((a, b) => b.start - a.start))
        lean = lean.slice(0, start) + text + lean.slice(end);
      return { code: lean, map: null };
    },
  },
};
