import type { Check } from '../../src/check/checkSchema.ts';
import { decimal, figure, UNKNOWN } from '../figures.ts';
import { Mark } from '../Mark.tsx';
import type { PartProps } from './CheckView.tsx';
import { shareInWords, type Written } from './checkWords.ts';
import { Part } from './Part.tsx';

type Rheology = NonNullable<Check['hydraulics']['rheology']>;
type Circulation = Check['hydraulics']['circulations'][number];

export function Hydraulics({ check, written }: PartProps) {
  const { rheology, circulations } = check.hydraulics;
  if (!rheology && circulations.length === 0) return null;
  return (
    <Part id="hydraulics" title="Hydraulics">
      {rheology && <Fits rheology={rheology} />}
      {circulations.map((circulation) => (
        <Budget key={circulation.kind} circulation={circulation} written={written} />
      ))}
    </Part>
  );
}

const known = (value: number | null, decimals: number): string => (value === null ? UNKNOWN : decimal(value, decimals));

/** The three models against the dials; the shorter the bar, the better the fit. */
function Fits({ rheology }: { readonly rheology: Rheology }) {
  const { fits, chosen, chosenBy, figures } = rheology;
  const worst = Math.max(...fits.map((fit) => fit.residualShare), 1e-9);
  return (
    <>
      <table class="fits">
        <thead>
          <tr>
            <th scope="col" class="text">
              Fluid model
            </th>
            <th scope="col">yield, Pa</th>
            <th scope="col">consistency, Pa·sⁿ</th>
            <th scope="col">n</th>
            <th scope="col" class="text">
              misses the dials by
            </th>
          </tr>
        </thead>
        <tbody>
          {fits.map((fit) => (
            <tr key={fit.model} class={fit.model === chosen ? 'is-taken' : ''} data-testid={`fit-${fit.model}`}>
              <th scope="row" class="text">
                <Mark name={fit.model === chosen ? 'done' : 'open'} size={15} /> {fit.model}
              </th>
              <td>{decimal(fit.yield, 2)}</td>
              <td>{decimal(fit.consistency, 4)}</td>
              <td>{decimal(fit.n, 3)}</td>
              <td class="text residual">
                <i style={{ width: `${(fit.residualShare / worst) * 70}px` }} /> {decimal(fit.residual, 2)}°,{' '}
                {decimal(fit.residualShare * 100, 1)} %
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <p class="check-note">
        Taken: {chosen}, {chosenBy === 'plan' ? 'set by the plan' : 'the least residual'}. Plastic viscosity{' '}
        {known(figures.plasticViscosity, 0)} cP, yield point {known(figures.yieldPoint, 0)} lbf/100 ft².
      </p>
    </>
  );
}

interface BudgetProps {
  readonly circulation: Circulation;
  readonly written: Written;
}

/** Metres a second, or feet a minute: as the trade has it in either system. */
const velocityInWords = (mPerS: number, { system }: Written): string =>
  system === 'metric' ? decimal(mPerS, 2) : figure('feed', mPerS * 60, system, 0);

/** Where the standpipe pressure goes, drawn to scale. */
function Budget({ circulation, written }: BudgetProps) {
  const { insideLoss, tool, annulusLoss, standpipe } = circulation;
  const whole = Math.max(insideLoss + tool + annulusLoss, 1e-9);
  const parts = [
    ['inside', 'inside the string', insideLoss],
    ['tool', 'at the tool', tool],
    ['annulus', 'annulus', annulusLoss],
  ] as const;
  return (
    <div class="budget">
      <h3>
        {circulation.kind}, at {circulation.joint}: {written.with('flow', circulation.flow)}
        {circulation.path && `, ${circulation.path} path`}, standpipe {written.with('pressure', standpipe)}, ECD{' '}
        {written.with('density', circulation.ecd, written.system === 'metric' ? 0 : 2)}
      </h3>
      <div class="budget-bar" aria-hidden="true">
        {parts.map(([name, , value]) => (
          <i key={name} class={`budget-${name}`} style={{ width: `${(value / whole) * 100}%` }} />
        ))}
      </div>
      <ul class="budget-legend">
        {parts.map(([name, says, value]) => (
          <li key={name}>
            <i class={`budget-${name}`} aria-hidden="true" /> {says} <b>{written.with('pressure', value)}</b>{' '}
            {shareInWords(value / whole)} %
          </li>
        ))}
      </ul>
      <table class="sections">
        <thead>
          <tr>
            <th scope="col" class="text">
              Where
            </th>
            <th scope="col">from, {written.label('length')}</th>
            <th scope="col">to, {written.label('length')}</th>
            <th scope="col">{written.system === 'metric' ? 'm/s' : written.label('feed')}</th>
            <th scope="col" class="text">
              regime
            </th>
            <th scope="col">loss, {written.label('pressure')}</th>
          </tr>
        </thead>
        <tbody>
          {circulation.sections.map((section) => (
            <tr key={`${section.where} ${section.from}`}>
              <th scope="row" class="text">
                {section.where}
              </th>
              <td>{written.of('length', section.from, 0)}</td>
              <td>{written.of('length', section.to, 0)}</td>
              <td>{velocityInWords(section.velocity, written)}</td>
              <td class="text">{section.regime}</td>
              <td>{written.of('pressure', section.loss)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
