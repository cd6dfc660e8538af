/** The work string and its roller tools inside the liner, each with a flag that says its name and depth. */

import { PHASES } from '../../src/phases.ts';
import type { Job } from '../../src/plan/job.ts';
import type { UnitSystem } from '../../src/units.ts';
import { figure } from '../figures.ts';
import { now } from '../state.ts';
import type { Girth } from './JointFigure.tsx';
import { spreadLabels } from './linerScale.ts';

interface ToolsProps {
  readonly job: Job;
  readonly y: (depth: number) => number;
  readonly girth: Girth;
  readonly flagPx: number;
  readonly system: UnitSystem;
  readonly top: number;
}

const FLAG = { x: 2, height: 40, apart: 44 };

export function Tools({ job, y, girth, flagPx, system, top }: ToolsProps) {
  const state = now.value;
  if (!state) return null;
  const tools = job.tools
    .flatMap(({ index, name }) => {
      const depth = state.toolDepths[index] ?? null;
      return depth === null ? [] : [{ index, name, depth, at: y(depth) }];
    })
    .sort((a, b) => a.depth - b.depth);
  const flags = spreadLabels(
    tools.map((tool) => tool.at),
    FLAG.apart,
  );
  const end = state.endDepth === null ? (tools[tools.length - 1]?.at ?? top) : y(state.endDepth);
  const { family } = PHASES[state.phase];
  const rolls = family === 'expanding' || family === 'trouble';
  return (
    <g class="tools">
      <rect class="string" x={girth.middle - 4} y={top} width="8" height={Math.max(0, end - top)} />
      {tools.map((tool, i) => {
        const atWork = tool.index === state.tool;
        const half = (atWork && rolls ? girth.wide : girth.bare) - 2;
        return (
          <g key={tool.name} class={`tool${atWork ? ' is-at-work' : ''}`}>
            <path
              class="leader"
              d={`M${girth.middle - half} ${tool.at}H${FLAG.x + flagPx + 8}L${FLAG.x + flagPx} ${flags[i]}`}
            />
            <g transform={`translate(${girth.middle} ${tool.at})`}>
              <rect class="tool-body" x="-9" y="-20" width="18" height="40" rx="4" />
              <rect class="roller" x={-half} y="-11" width={half - 7} height="22" rx="8" />
              <rect class="roller" x="7" y="-11" width={half - 7} height="22" rx="8" />
              <path class="contact" d={`M${-half} 0h${half - 7}M7 0h${half - 7}`} />
            </g>
            <g transform={`translate(${FLAG.x} ${flags[i]! - FLAG.height / 2})`}>
              <rect class="flag" width={flagPx} height={FLAG.height} rx="4" />
              <text class="flag-name" x="7" y="15">
                {tool.name}
              </text>
              <text class="flag-depth live" x="7" y="32">
                {figure('length', tool.depth, system)}
              </text>
            </g>
          </g>
        );
      })}
    </g>
  );
}
