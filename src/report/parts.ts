/** The parts of a report, in their order; each begins on a sheet of its own. */
export const JOB = 'Job and cautions';
export const PLAN = 'Plan as run';
export const LIMITS = 'Limits sheet';
export const LINER = 'Liner as run';
export const PRESSURE_TESTS = 'Pressure tests';
export const DEPTH_CORRECTIONS = 'Depth corrections';
export const JOINT_TABLE = 'Joint table';
export const JOINT_SHEETS = 'Joint sheets';
export const TIME = 'Time breakdown';
export const EVENTS = 'Events';
export const SIGNATURES = 'Signatures';
export const VERIFICATION = 'Verification';
export const DIFFERENCES = 'Differences';
