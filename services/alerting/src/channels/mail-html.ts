import type { PageMessage } from './channel.ts';
import type { MailWords } from './mail-message.ts';

const ESCAPES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Text that stands for itself in HTML, between tags and within quoted attributes. */
function escapeHtml(text: string): string {
  return text.replace(/[&<>"']/g, (character) => ESCAPES[character] ?? '');
}

const PRIORITY_STYLES: Readonly<Record<PageMessage['priority'], string>> = {
  emergency: 'border-left:6px solid #a1161b;padding-left:12px',
  urgent: 'border-left:6px solid #8a5a00;padding-left:12px',
  routine: 'border-left:6px solid #5b6670;padding-left:12px',
};

const PARAGRAPH = 'margin:0 0 14px;font-size:16px;line-height:1.45;white-space:pre-line';
const ITEM = 'margin:0;padding:8px 0;border-top:1px solid #d5dadf;font-size:15px;line-height:1.4';
const LINK =
  'display:block;margin:18px 0 8px;padding:13px 16px;background:#1d3f5e;color:#ffffff;' +
  'font-size:17px;text-align:center;text-decoration:none;border-radius:4px';

/** One column that fits a phone, dark on light; nothing in it is fetched from anywhere. */
export function mailHtml(words: MailWords, priority: PageMessage['priority']): string {
  const { title, body, lines, url } = words;
  const items = lines.map((line) => `<li style="${ITEM}">${escapeHtml(line)}</li>`).join('\n');
  const list = `<ul style="margin:0;padding:0;list-style:none">\n${items}\n</ul>`;
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<meta name="color-scheme" content="light">
<title>${escapeHtml(title)}</title>
</head>
<body style="margin:0;background:#f4f5f6;color:#1b2127;font-family:Arial,Helvetica,sans-serif">
<div dir="ltr" style="box-sizing:border-box;max-width:390px;margin:0 auto;padding:20px 16px;\
background:#ffffff;overflow-wrap:anywhere">
<h1 style="margin:0 0 14px;font-size:20px;line-height:1.3;${PRIORITY_STYLES[priority]}">\
${escapeHtml(title)}</h1>
${body === '' ? '' : `<p style="${PARAGRAPH}">${escapeHtml(body)}</p>`}
${url === null ? '' : linkTo(url)}
${lines.length === 0 ? '' : list}
</div>
</body>
</html>
`;
}

function linkTo(url: string): string {
  const isWeb = URL.canParse(url) && /^https?:$/.test(new URL(url).protocol);
  if (!isWeb) return '';
  return `<a href="${escapeHtml(url)}" style="${LINK}">Open the page</a>`;
}
