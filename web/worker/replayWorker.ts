/** The replay desk on a thread of its own, so that counting a long run again never holds up the live screen. */
import { ReplayDesk } from './replayDesk.ts';
import type { Answer, Question } from './replayProtocol.ts';

/** Of the worker's own scope, the parts that are used here. */
interface WorkerScope {
  addEventListener(type: 'message', heard: (event: MessageEvent<Question>) => void): void;
  postMessage(answer: Answer): void;
}
const scope = globalThis as unknown as WorkerScope;
const desk = new ReplayDesk(() => performance.now());

scope.addEventListener('message', ({ data }) => scope.postMessage(desk.answer(data)));
