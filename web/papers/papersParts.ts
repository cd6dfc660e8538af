/** The parts of the papers, in the order in which they are chosen from. One table. */
import type { ComponentType } from 'preact';
import { FilesPart } from './FilesPart.tsx';
import { HandoverPart } from './HandoverPart.tsx';
import { JointSheets } from './JointSheets.tsx';
import { PeoplePart } from './PeoplePart.tsx';
import { JOINTS_PART } from './papersAddress.ts';
import { FILES_PART, HANDOVER_PART, TIME_PART, TOGETHER_PART } from './partKeys.ts';
import { ReportPart } from './ReportPart.tsx';
import { SignPart } from './SignPart.tsx';
import { TimePart } from './TimePart.tsx';
import { TogetherPart } from './TogetherPart.tsx';

export interface PapersPart {
  /** As it stands in the address. */
  readonly key: string;
  readonly name: string;
  readonly Part: ComponentType;
}

export const PAPERS_PARTS: readonly PapersPart[] = [
  { key: JOINTS_PART, name: 'Joint sheets', Part: JointSheets },
  { key: HANDOVER_PART, name: 'Handover', Part: HandoverPart },
  { key: TIME_PART, name: 'Time', Part: TimePart },
  { key: 'signatures', name: 'Signatures', Part: SignPart },
  { key: 'people', name: 'People', Part: PeoplePart },
  { key: 'report', name: 'Report', Part: ReportPart },
  { key: FILES_PART, name: 'Files', Part: FilesPart },
  { key: TOGETHER_PART, name: 'Runs together', Part: TogetherPart },
];
