/** Starts the page: colours, the live link, the panels. */
import { render } from 'preact';
import { App } from './App.tsx';
import { keepAwake } from './frame/keepAwake.ts';
import { Connection, LIVE_PATH } from './live/connection.ts';
import './style/base.css';
import './style/layout.css';
import './style/status.css';
import './style/liner.css';
import './style/lists.css';
import './tool/tool.css';
import { applyTheme } from './theme.ts';

applyTheme();
keepAwake();
const live = new URL(LIVE_PATH, location.href);
live.protocol = location.protocol === 'https:' ? 'wss:' : 'ws:';
new Connection(live.href).start();
render(<App />, document.getElementById('page')!);
