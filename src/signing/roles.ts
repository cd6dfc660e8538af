/** Who does what on the rig, and what each may sign: a fixed catalogue (common practice). */
import type { SubjectName } from './subjects.ts';

export const ROLES = {
  'company man': ['limits', 'depth correction', 'pressure tests', 'release', 'joint', 'record', 'handover'],
  'expansion specialist': ['limits', 'depth correction', 'pressure tests', 'release', 'joint', 'record', 'handover'],
  'hanger specialist': ['pressure tests', 'release', 'handover'],
  toolpusher: ['depth correction', 'pressure tests', 'release', 'handover'],
  'completion engineer': ['limits', 'joint', 'record', 'handover'],
  'data engineer': ['handover'],
} as const satisfies Record<string, readonly SubjectName[]>;

export type RoleName = keyof typeof ROLES;
export const ROLE_NAMES = Object.keys(ROLES) as [RoleName, ...RoleName[]];

export const maySign = (role: RoleName, subject: SubjectName): boolean =>
  (ROLES[role] as readonly SubjectName[]).includes(subject);
