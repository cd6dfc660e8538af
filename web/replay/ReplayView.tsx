import { useEffect } from 'preact/hooks';
import { BesideDialog } from '../beside/BesideDialog.tsx';
import { driveShared } from '../together/sharedDrive.ts';
import { WhatIfDialog } from '../whatIf/WhatIfDialog.tsx';
import { barWanted, handleReplay, type ReplayCommand } from './barWanted.ts';
import { backToLive, faster, jump, stepSamples, toggleBar, togglePlay } from './ownMoves.ts';
import { PassesDialog } from './PassesDialog.tsx';
import { openBar } from './replayer.ts';
import { TimeBar } from './TimeBar.tsx';

const COMMANDS: Readonly<Record<ReplayCommand, () => void>> = {
  bar: toggleBar,
  play: togglePlay,
  live: backToLive,
  'sample back': () => stepSamples(-1),
  'sample on': () => stepSamples(1),
  'jump back': () => jump(-1),
  'jump on': () => jump(1),
  slower: () => faster(-1),
  faster: () => faster(1),
};

export function ReplayView() {
  useEffect(() => {
    if (barWanted.peek() > 0) openBar();
    const stopDriving = driveShared();
    const stopHandling = handleReplay((command) => COMMANDS[command]());
    return () => {
      stopDriving();
      stopHandling();
    };
  }, []);
  return (
    <>
      <TimeBar />
      <WhatIfDialog />
      <PassesDialog />
      <BesideDialog />
    </>
  );
}
