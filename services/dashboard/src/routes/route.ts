/** Addresses of the screens, all behind `#` so that the server needs to know none of them. */
export type Route =
  | { readonly screen: 'units'; readonly by: 'need' | 'site'; readonly find: string }
  | { readonly screen: 'alarms' }
  | { readonly screen: 'on-call' }
  | { readonly screen: 'storms' }
  | { readonly screen: 'storm'; readonly id: string }
  | { readonly screen: 'figures'; readonly days: FigureDays }
  | { readonly screen: 'unit'; readonly site: string; readonly unit: string; readonly range: Range }
  | { readonly screen: 'welcome'; readonly secret: string }
  | { readonly screen: 'nowhere' };

/** A named length that ends now, or a fixed part of the past in epoch ms, half open. */
export type Range =
  | { readonly last: RangeName }
  | { readonly fromMs: number; readonly toMs: number };

export const RANGE_NAMES = ['24h', '7d', '6w'] as const;
export type RangeName = (typeof RANGE_NAMES)[number];

export const DEFAULT_RANGE: Range = { last: '24h' };

/** Lengths of time that end now, over which the alarm system is counted. */
export const FIGURE_DAYS = [7, 30, 90] as const;
export type FigureDays = (typeof FIGURE_DAYS)[number];

/** A month, as the published targets are looked at. */
const DEFAULT_FIGURE_DAYS: FigureDays = 30;

/** The screen of an address such as `#/unit/harbour-mall/rtu-01?last=7d`. */
export function parseRoute(hash: string): Route {
  const [path = '', query = ''] = hash.replace(/^#\/?/, '').split('?', 2);
  const parts = path.split('/').filter(Boolean).map(decoded);
  const parameters = new URLSearchParams(query);
  const [screen, first, second] = parts;
  if (screen === undefined) {
    const by = parameters.get('by') === 'site' ? 'site' : 'need';
    return { screen: 'units', by, find: parameters.get('find') ?? '' };
  }
  if (screen === 'alarms' && parts.length === 1) return { screen: 'alarms' };
  if (screen === 'on-call' && parts.length === 1) return { screen: 'on-call' };
  if (screen === 'storms' && parts.length === 1) return { screen: 'storms' };
  if (screen === 'storms' && first !== undefined) return { screen: 'storm', id: first };
  if (screen === 'figures' && parts.length === 1) {
    const days = FIGURE_DAYS.find((one) => String(one) === parameters.get('days'));
    return { screen: 'figures', days: days ?? DEFAULT_FIGURE_DAYS };
  }
  if (screen === 'welcome' && first !== undefined) return { screen: 'welcome', secret: first };
  if (screen === 'unit' && first !== undefined && second !== undefined) {
    return { screen: 'unit', site: first, unit: second, range: parseRange(parameters) };
  }
  return { screen: 'nowhere' };
}

/** The address of a screen; the inverse of `parseRoute`. */
export function formatRoute(route: Route): string {
  switch (route.screen) {
    case 'units': {
      const parameters = new URLSearchParams();
      if (route.by === 'site') parameters.set('by', 'site');
      if (route.find !== '') parameters.set('find', route.find);
      return withQuery('#/', parameters);
    }
    case 'alarms':
      return '#/alarms';
    case 'on-call':
      return '#/on-call';
    case 'figures':
      return route.days === DEFAULT_FIGURE_DAYS ? '#/figures' : `#/figures?days=${route.days}`;
    case 'unit': {
      const path = `#/unit/${encodeURIComponent(route.site)}/${encodeURIComponent(route.unit)}`;
      return withQuery(path, rangeParameters(route.range));
    }
    case 'storms':
      return '#/storms';
    case 'storm':
      return `#/storms/${encodeURIComponent(route.id)}`;
    case 'welcome':
      return `#/welcome/${encodeURIComponent(route.secret)}`;
    case 'nowhere':
      return '#/nowhere';
  }
}

function withQuery(path: string, parameters: URLSearchParams): string {
  const query = parameters.toString();
  return query === '' ? path : `${path}?${query}`;
}

function decoded(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}

function parseRange(parameters: URLSearchParams): Range {
  const last = RANGE_NAMES.find((name) => name === parameters.get('last'));
  if (last !== undefined) return { last };
  const fromMs = Date.parse(parameters.get('from') ?? '');
  const toMs = Date.parse(parameters.get('to') ?? '');
  return fromMs < toMs ? { fromMs, toMs } : DEFAULT_RANGE;
}

function rangeParameters(range: Range): URLSearchParams {
  if ('last' in range) {
    return new URLSearchParams(range.last === '24h' ? {} : { last: range.last });
  }
  return new URLSearchParams({
    from: new Date(range.fromMs).toISOString(),
    to: new Date(range.toMs).toISOString(),
  });
}
