import { rfc3339 } from '@lineside/alarms';
import type { StoredEpisode } from '@lineside/storage';
import { principalOf } from '../auth/gate.ts';
import type { ApiDependencies } from '../dependencies.ts';
import { type EpisodeJson, episodeQuery, episodeSchema } from '../schemas/episode.ts';
import { unitParams } from '../schemas/ids.ts';
import { pageOf } from '../schemas/page.ts';
import { problems } from '../schemas/problem-answers.ts';
import { toStoreSpan } from '../schemas/time-fields.ts';
import { rfc3339OrNull } from '../time/rfc3339.ts';
import { type Api, pageFrom } from './api.ts';
import { findUnit } from './find-unit.ts';

export function episodeRoutes(app: Api, { records, fleet }: ApiDependencies): void {
  app.get(
    '/api/units/:site/:unit/episodes',
    {
      schema: {
        operationId: 'listEpisodes',
        summary: 'Wettings of a unit, newest start first; an episode is not an alarm',
        tags: ['units'],
        params: unitParams,
        querystring: episodeQuery,
        response: { 200: pageOf(episodeSchema), ...problems(400, 401, 404) },
      },
    },
    async (request) => {
      const { id: unit, site } = findUnit(fleet(), principalOf(request), request.params);
      const filter = { site, unit, ...toStoreSpan(request.query) };
      const page = await pageFrom(request.query, (asked) =>
        records.episodes({ ...filter, ...asked }),
      );
      return { items: page.items.map(episodeJson), next: page.next };
    },
  );
}

function episodeJson({ site, unit, episode }: StoredEpisode): EpisodeJson {
  return {
    site,
    unit,
    start: rfc3339(episode.startMs),
    peak: rfc3339(episode.peakMs),
    end: rfc3339OrNull(episode.endMs),
    source: episode.source,
    wetHours: episode.wetHours,
  };
}
