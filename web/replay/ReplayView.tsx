import { effect } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { BesideDialog } from '../beside/BesideDialog.tsx';
import { driveShared } from '../together/sharedDrive.ts';
import { WhatIfDialog } from '../whatIf/WhatIfDialog.tsx';
import { barWanted, handleReplay, instantWanted, type ReplayCommand } from './barWanted.ts';
import { backToLive, faster, jump, seekTo, stepSamples, toggleBar, togglePlay } from './ownMoves.ts';
import { PassesDialog } from './PassesDialog.tsx';
import { load, openBar } from './replayer.ts';
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

/** An instant that is wanted is shown as soon as the run is there; the bar says why, where it cannot be fetched. */
function takeWanted(): void {
  const ms = instantWanted.value;
  if (ms === null) return;
  instantWanted.value = null;
  openBar();
  load().then(
    () => seekTo(ms),
    (fault: unknown) => console.info(`the instant: ${String(fault)}`),
  );
}

export function ReplayView() {
  useEffect(() => {
    if (barWanted.peek() > 0) openBar();
    const stopDriving = driveShared();
    const stopWanting = effect(takeWanted);
    const stopHandling = handleReplay((command) => COMMANDS[command]());
    return () => {
      stopDriving();
      stopWanting();
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
