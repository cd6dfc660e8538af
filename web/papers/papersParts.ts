/** The parts of the papers, in the order in which they are chosen from. One table. */
import type { ComponentType } from 'preact';
import { JointSheets } from './JointSheets.tsx';
import { PeoplePart } from './PeoplePart.tsx';
import { JOINTS_PART } from './papersAddress.ts';
import { ReportPart } from './ReportPart.tsx';
import { SignPart } from './SignPart.tsx';

export interface PapersPart {
  /** As it stands in the address. */
  readonly key: string;
  readonly name: string;
  readonly Part: ComponentType;
}

export const PAPERS_PARTS: readonly PapersPart[] = [
  { key: JOINTS_PART, name: 'Joint sheets', Part: JointSheets },
  { key: 'signatures', name: 'Signatures', Part: SignPart },
  { key: 'people', name: 'People', Part: PeoplePart },
  { key: 'report', name: 'Report', Part: ReportPart },
];
