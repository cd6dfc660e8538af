/** Starts the page: colours, the live link, the panels. */
import { render } from 'preact';
import { App } from './App.tsx';
import { keepAwake } from './frame/keepAwake.ts';
import { takeUpLive } from './live/liveLink.ts';
import { runInHash } from './recorded.ts';
import './style/base.css';
import './style/layout.css';
import './style/status.css';
import './style/liner.css';
import './style/lists.css';
import './tool/tool.css';
import { applyTheme } from './theme.ts';

applyTheme();
keepAwake();
// An address of a recorded run leads there without the live one in between.
if (runInHash(location.hash) === null) takeUpLive();
render(<App />, document.getElementById('page')!);
