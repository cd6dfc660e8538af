/**
 * What may be changed to ask "what if": one table, read by the panel, the link and the count. Values are in the plan's own
 * units, as they stand in it; a bound that the plan leaves out is undefined.
 */
import type { Plan, PlanRecipe } from '../plan/planSchema.ts';
import type { Quantity } from '../units.ts';

export interface ChangeKind {
  readonly label: string;
  readonly quantity: Quantity;
  /** What the plan says; undefined: nothing. */
  readonly of: (plan: Plan) => number | undefined;
  /** The plan with another value. */
  readonly with: (plan: Plan, value: number) => Plan;
  readonly least: number;
  readonly most: number;
}

type RecipeKind = 'isolation' | 'screen';
type Bound = 'pressure min' | 'pressure max' | 'rotation min' | 'feed max' | 'feed per turn max' | 'torque max';

const BOUNDS: Readonly<
  Record<
    Bound,
    {
      readonly quantity: Quantity;
      readonly of: (recipe: PlanRecipe) => number | undefined;
      readonly with: (recipe: PlanRecipe, value: number) => PlanRecipe;
    }
  >
> = {
  'pressure min': {
    quantity: 'pressure',
    of: (recipe) => recipe.pressure?.min,
    with: (recipe, min) => ({ ...recipe, pressure: { at: 'standpipe', ...recipe.pressure, min } }),
  },
  'pressure max': {
    quantity: 'pressure',
    of: (recipe) => recipe.pressure?.max,
    with: (recipe, max) => ({ ...recipe, pressure: { at: 'standpipe', ...recipe.pressure, max } }),
  },
  'rotation min': {
    quantity: 'rotation',
    of: (recipe) => recipe.rpm?.min,
    with: (recipe, min) => ({ ...recipe, rpm: { min } }),
  },
  'feed max': {
    quantity: 'feed',
    of: (recipe) => recipe.feed?.max,
    with: (recipe, max) => ({ ...recipe, feed: { max } }),
  },
  'feed per turn max': {
    quantity: 'diameter',
    of: (recipe) => recipe.feedPerTurn?.max,
    with: (recipe, max) => ({ ...recipe, feedPerTurn: { max } }),
  },
  'torque max': {
    quantity: 'torque',
    of: (recipe) => recipe.torque?.max,
    with: (recipe, max) => ({ ...recipe, torque: { max } }),
  },
};

const MOST = 1e6;

function recipeChange(kind: RecipeKind, bound: Bound): [string, ChangeKind] {
  const { quantity, of, with: set } = BOUNDS[bound];
  return [
    `${kind} ${bound}`,
    {
      label: `${kind === 'screen' ? 'Screens' : 'Isolation joints'}: ${bound}`,
      quantity,
      of: ({ recipes }) => recipes[kind] && of(recipes[kind]),
      with: (plan, value) => {
        const recipe = plan.recipes[kind];
        return recipe ? { ...plan, recipes: { ...plan.recipes, [kind]: set(recipe, value) } } : plan;
      },
      // A bound of 0 is no bound for a least value, and none for a greatest would be no plan.
      least: bound.endsWith('min') ? 0 : 1e-6,
      most: MOST,
    },
  ];
}

const JUDGEMENT: readonly [string, ChangeKind][] = [
  [
    'coverage',
    {
      label: 'Acceptance: least coverage',
      quantity: 'fraction',
      of: ({ acceptance }) => acceptance?.coverage,
      with: (plan, coverage) => ({ ...plan, acceptance: { ...plan.acceptance, coverage } }),
      least: 0,
      most: 1,
    },
  ],
  [
    'longest gap',
    {
      label: 'Acceptance: longest gap',
      quantity: 'length',
      of: ({ acceptance }) => acceptance?.longestGap,
      with: (plan, longestGap) => ({ ...plan, acceptance: { ...plan.acceptance, longestGap } }),
      least: 0,
      most: 1000,
    },
  ],
  [
    'stall feed',
    {
      label: 'Stall: feed below',
      quantity: 'feed',
      of: ({ limits }) => limits?.stall?.feed,
      with: (plan, feed) => ({
        ...plan,
        limits: { ...plan.limits, stall: { seconds: 30, ...plan.limits?.stall, feed } },
      }),
      least: 1e-6,
      most: MOST,
    },
  ],
  [
    'stall seconds',
    {
      label: 'Stall: after so many seconds',
      quantity: 'count',
      of: ({ limits }) => limits?.stall?.seconds,
      with: (plan, seconds) =>
        plan.limits?.stall ? { ...plan, limits: { ...plan.limits, stall: { ...plan.limits.stall, seconds } } } : plan,
      least: 1,
      most: 3600,
    },
  ],
];

/** By name. Lengths of joints are named by `lengthChange`, and the depth by the scenario itself. */
export const CHANGES: ReadonlyMap<string, ChangeKind> = new Map([
  ...(['screen', 'isolation'] as const).flatMap((kind) =>
    (Object.keys(BOUNDS) as Bound[]).map((bound) => recipeChange(kind, bound)),
  ),
  ...JUDGEMENT,
]);

/** The length of one joint: those below move with it, and what is to be expanded of it grows or shrinks at its lower end. */
export function lengthChange(joint: string): ChangeKind {
  return {
    label: `Length of ${joint}`,
    quantity: 'length',
    of: ({ liner }) => liner.joints.find(({ name }) => name === joint)?.length,
    with: (plan, length) => ({
      ...plan,
      liner: {
        ...plan.liner,
        joints: plan.liner.joints.map((one) => {
          if (one.name !== joint) return one;
          if (one.expandTo === undefined) return { ...one, length };
          return { ...one, length, expandTo: one.expandTo + length - one.length };
        }),
      },
    }),
    least: 0.01,
    most: 1000,
  };
}
