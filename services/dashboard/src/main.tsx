import { render } from 'preact';
import { App } from './app.tsx';
import './style/tokens.css';
import './style/base.css';
import './style/entries.css';
import './style/drawing.css';
import './style/alarms.css';
import './style/unit.css';
import './style/on-call.css';
import './style/alarm-life.css';
import './style/storms.css';
import './style/paper.css';

const page = document.getElementById('page');
if (page === null) throw new Error('index.html has no element with the id "page"');
render(<App />, page);
