/** What is signed, by how many people, and whether there are several of it. One table. */

export interface Subject {
  readonly says: string;
  /** Signatures of different people that it takes (common practice). */
  readonly signatures: number;
  /** What tells one from another: the name of a joint, the number of a handover; null where there is only one. */
  readonly of: 'joint' | 'handover' | null;
}

export const SUBJECTS = {
  limits: { says: 'The limits that the trip is judged by.', signatures: 1, of: null },
  'depth correction': { says: 'Where the depth was put right, by what and by whom.', signatures: 2, of: null },
  'pressure tests': { says: 'The pressure steps and tests of the hanger.', signatures: 2, of: null },
  release: { says: 'The push and pull, and the release of the running tool.', signatures: 1, of: null },
  joint: { says: 'One joint as it was expanded, and who accepted it.', signatures: 1, of: 'joint' },
  record: { says: 'The whole record, joint by joint.', signatures: 1, of: null },
  handover: { says: 'The handover of one shift to the next.', signatures: 2, of: 'handover' },
} as const satisfies Record<string, Subject>;

export type SubjectName = keyof typeof SUBJECTS;
export const SUBJECT_NAMES = Object.keys(SUBJECTS) as [SubjectName, ...SubjectName[]];
