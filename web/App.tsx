/** The live screen, which is one, and the check before the trip beside it. Each panel reads the signals it shows and nothing else. */
import { CheckPlace } from './check/CheckPlace.tsx';
import { EventList } from './events/EventList.tsx';
import { Aloud } from './frame/Aloud.tsx';
import { Caution } from './frame/Caution.tsx';
import { HelpDialog } from './frame/HelpDialog.tsx';
import { Masthead } from './frame/Masthead.tsx';
import { SourceDialog } from './frame/SourceDialog.tsx';
import { useShortcuts } from './frame/shortcuts.ts';
import { JointTable } from './joints/JointTable.tsx';
import { JournalPlace } from './journal/JournalPlace.tsx';
import { LibraryPlace } from './library/LibraryPlace.tsx';
import { LinerPanel } from './liner/LinerPanel.tsx';
import { PapersPlace } from './papers/PapersPlace.tsx';
import { ReplayPlace } from './replay/ReplayPlace.tsx';
import { StatusStrip } from './status/StatusStrip.tsx';
import { ConfirmDialog } from './tool/ConfirmDialog.tsx';
import { StepsDialog } from './tool/StepsDialog.tsx';
import { ToolBar } from './tool/ToolBar.tsx';
import { TracesPanel } from './traces/TracesPanel.tsx';
import { view } from './view.ts';

export function App() {
  useShortcuts();
  return (
    <>
      <Masthead />
      <main hidden={view.value !== 'live'}>
        <div class="upper">
          <StatusStrip />
          <ToolBar />
        </div>
        <LinerPanel />
        <section class="panel traces" aria-label="Traces over time">
          <TracesPanel />
        </section>
        <JointTable />
        <EventList />
      </main>
      <CheckPlace />
      <LibraryPlace />
      <PapersPlace />
      <ReplayPlace />
      <Caution />
      <Aloud />
      <SourceDialog />
      <StepsDialog />
      <ConfirmDialog />
      <JournalPlace />
      <HelpDialog />
    </>
  );
}
