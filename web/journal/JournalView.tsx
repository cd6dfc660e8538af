import { TogetherDialog } from '../together/TogetherDialog.tsx';
import { AcknowledgeDialog } from './AcknowledgeDialog.tsx';
import { DecideDialog } from './DecideDialog.tsx';
import { NotesDialog } from './NotesDialog.tsx';
import './journal.css';

export function JournalView() {
  return (
    <>
      <NotesDialog />
      <AcknowledgeDialog />
      <DecideDialog />
      <TogetherDialog />
    </>
  );
}
