import { render } from 'preact';
import { PageApp } from './page-app.tsx';
import './page.css';
import './buttons.css';
import './chart.css';

const page = document.getElementById('page');
if (page === null) throw new Error('page.html has no element with the id "page"');
render(<PageApp />, page);
