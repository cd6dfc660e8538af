/** What is fetched for the library: its view, and what opens and leaves a run. */
export const fetchPart = () => import('./LibraryView.tsx');

export function leaveRecorded(): void {
  fetchPart().then(
    ({ leaveRun }) => leaveRun(),
    (fault: unknown) => console.info(`the library could not be fetched: ${String(fault)}`),
  );
}
