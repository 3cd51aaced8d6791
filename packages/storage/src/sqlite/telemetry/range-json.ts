import { channelNamed } from '@lineside/readings';
import type { ChannelSeries, RangeResult } from '../../ports/telemetry-store.ts';
import { between } from './series-collector.ts';

/**
 * Digits of a computed mean: beyond the twelfth there is only the noise of adding. Raw values,
 * minima and maxima are written in full, as short as they read back the same.
 */
const MEAN_DIGITS = 12;

/**
 * The range as the UTF-8 JSON body of the HTTP answer,
 * `{"channels":{"leak":{"unit":"A","points":[[t,min,mean,max],…]}}}`; `unit` is null for `door`.
 */
export function rangeJsonBytes(result: RangeResult): Uint8Array<ArrayBuffer> {
  const channels = result.series.map((series) => {
    const unit = JSON.stringify(channelNamed(series.channel)?.unit ?? null);
    const points = result.bucketMs === 0 ? rawPoints(series) : bucketPoints(series);
    return `"${series.channel}":{"unit":${unit},"points":[${points}]}`;
  });
  return new TextEncoder().encode(`{"channels":{${channels.join(',')}}}`);
}

function rawPoints(series: ChannelSeries): string {
  let text = '';
  for (let place = 0; place < series.atMs.length; place++) {
    const value = `${series.mean[place]}`;
    text += `${place === 0 ? '' : ','}[${series.atMs[place]},${value},${value},${value}]`;
  }
  return text;
}

function bucketPoints(series: ChannelSeries): string {
  let text = '';
  for (let place = 0; place < series.atMs.length; place++) {
    const min = series.min[place] ?? 0;
    const max = series.max[place] ?? 0;
    const mean = between(min, Number((series.mean[place] ?? 0).toPrecision(MEAN_DIGITS)), max);
    text += `${place === 0 ? '' : ','}[${series.atMs[place]},${min},${mean},${max}]`;
  }
  return text;
}
