/** The one screen. Each panel reads the signals it shows and nothing else. */
import { EventList } from './events/EventList.tsx';
import { Aloud } from './frame/Aloud.tsx';
import { Caution } from './frame/Caution.tsx';
import { HelpDialog } from './frame/HelpDialog.tsx';
import { Masthead } from './frame/Masthead.tsx';
import { SourceDialog } from './frame/SourceDialog.tsx';
import { useShortcuts } from './frame/shortcuts.ts';
import { JointTable } from './joints/JointTable.tsx';
import { LinerPanel } from './liner/LinerPanel.tsx';
import { StatusStrip } from './status/StatusStrip.tsx';
import { TracesPanel } from './traces/TracesPanel.tsx';

export function App() {
  useShortcuts();
  return (
    <>
      <Masthead />
      <main>
        <StatusStrip />
        <LinerPanel />
        <section class="panel traces" aria-label="Traces over time">
          <TracesPanel />
        </section>
        <JointTable />
        <EventList />
      </main>
      <Caution />
      <Aloud />
      <SourceDialog />
      <HelpDialog />
    </>
  );
}
