import compress from '@fastify/compress';
import cookiePlugin from '@fastify/cookie';
import Fastify, { type FastifyBaseLogger, type FastifyInstance, LogController } from 'fastify';
import {
  serializerCompiler,
  validatorCompiler,
  type ZodTypeProvider,
} from 'fastify-type-provider-zod';
import { Authenticator } from './auth/authenticator.ts';
import { addGate } from './auth/gate.ts';
import { RequestRate } from './auth/request-rate.ts';
import { SessionCookie } from './auth/session-cookie.ts';
import { Sessions } from './auth/sessions.ts';
import { SignIn } from './auth/sign-in.ts';
import type { ApiDependencies } from './dependencies.ts';
import { answerBrokenRequest } from './errors/broken-request.ts';
import { RotaDesk } from './on-call/rota-desk.ts';
import { addDashboardFiles } from './plugins/dashboard-files.ts';
import { addErrorAnswers, answerError } from './plugins/error-answers.ts';
import { closeAfterLastAnswers } from './plugins/last-answers.ts';
import { addOpenApi } from './plugins/openapi.ts';
import { addRequestMetrics } from './plugins/request-metrics.ts';
import { addSecurityHeaders } from './plugins/security-headers.ts';
import { alarmFigureRoutes } from './routes/alarm-figures.ts';
import { alarmJournalRoute } from './routes/alarm-journal.ts';
import { alarmRoutes } from './routes/alarms.ts';
import { alertingRoutes } from './routes/alerting.ts';
import type { Api } from './routes/api.ts';
import { calendarRoutes } from './routes/calendar.ts';
import { contactOwner, contactPointRoutes } from './routes/contact-points.ts';
import { episodeRoutes } from './routes/episodes.ts';
import { eventRoutes } from './routes/events.ts';
import { healthRoutes } from './routes/health.ts';
import { holdRoutes } from './routes/holds.ts';
import { invitationRoutes } from './routes/invitations.ts';
import { metricsRoutes } from './routes/metrics.ts';
import { onCallRoutes } from './routes/on-call.ts';
import { openApiRoute } from './routes/openapi.ts';
import { pageRoutes } from './routes/pages.ts';
import { quarantineRoutes } from './routes/quarantine.ts';
import { rotaChangeRoutes } from './routes/rota-changes.ts';
import { serviceRoutes } from './routes/service.ts';
import { sessionRoutes } from './routes/sessions.ts';
import { stormRoutes } from './routes/storms.ts';
import { telemetryRoutes } from './routes/telemetry.ts';
import { unitRoutes } from './routes/units.ts';
import { verdictRoutes } from './routes/verdicts.ts';
import { whatIfRoutes } from './routes/what-if.ts';

/** Far above any service record; nothing else that is sent here is large. */
const BODY_MOST_BYTES = 64 * 1024;
/** A request that takes longer to arrive is no honest one. */
const REQUEST_ARRIVES_WITHIN_MS = 30_000;
/** Answers below this gain nothing from compression. */
const COMPRESS_FROM_BYTES = 2048;

/**
 * The HTTP side of the house: everything under `/api`, `/metrics`, and the dashboard's files. It
 * does not listen. `close()` ends open event streams.
 */
export async function buildApi(dependencies: ApiDependencies): Promise<FastifyInstance> {
  const app: FastifyInstance = Fastify({
    loggerInstance: dependencies.log as FastifyBaseLogger,
    // Addresses may hold a secret; failures are logged by the error handler, figures are metrics.
    logController: new LogController({ disableRequestLogging: true }),
    bodyLimit: BODY_MOST_BYTES,
    requestTimeout: REQUEST_ARRIVES_WITHIN_MS,
    // Of a chain of addresses the last that is no proxy of ours counts: a client may invent others.
    trustProxy: [...dependencies.trustedProxies],
    clientErrorHandler: answerBrokenRequest,
    frameworkErrors: answerError,
  });
  app.setValidatorCompiler(validatorCompiler);
  app.setSerializerCompiler(serializerCompiler);
  const cookie = new SessionCookie(dependencies.publicUrl);
  let hasPage = false;
  addErrorAnswers(app, () => hasPage);
  addRequestMetrics(app, dependencies.metrics);
  closeAfterLastAnswers(app);
  acceptEmptyJson(app);
  await addSecurityHeaders(app, dependencies.publicUrl);
  await app.register(cookiePlugin);
  await app.register(compress, {
    threshold: COMPRESS_FROM_BYTES,
    // Brotli at its usual level costs too much for answers that are made once.
    encodings: ['gzip', 'deflate'],
    globalDecompression: false,
  });
  await addOpenApi(app, cookie);
  await app.register((scope, _options, done) => {
    addRoutes(scope.withTypeProvider<ZodTypeProvider>(), dependencies, cookie);
    done();
  });
  hasPage = await addDashboardFiles(app, dependencies.dashboardFolder);
  return app;
}

function addRoutes(app: Api, dependencies: ApiDependencies, cookie: SessionCookie): void {
  const { records, clock, publicUrl } = dependencies;
  const rate = new RequestRate(clock);
  const sessions = new Sessions(records, clock);
  const authenticator = new Authenticator(records, sessions, cookie);
  addGate(app, { authenticator, rate, publicUrl });
  const signInParts = { sessions, signIn: new SignIn(records, clock), cookie, rate };
  healthRoutes(app, dependencies);
  metricsRoutes(app, dependencies);
  openApiRoute(app);
  sessionRoutes(app, signInParts);
  invitationRoutes(app, { ...signInParts, records, clock });
  unitRoutes(app, dependencies);
  telemetryRoutes(app, dependencies);
  episodeRoutes(app, dependencies);
  serviceRoutes(app, dependencies);
  alarmRoutes(app, dependencies);
  alarmJournalRoute(app, dependencies);
  holdRoutes(app, dependencies);
  verdictRoutes(app, dependencies);
  alarmFigureRoutes(app, dependencies);
  quarantineRoutes(app, dependencies);
  stormRoutes(app, dependencies);
  whatIfRoutes(app, dependencies);
  eventRoutes(app, dependencies, authenticator);
  addOnCallRoutes(app, dependencies, rate);
}

function addOnCallRoutes(app: Api, dependencies: ApiDependencies, rate: RequestRate): void {
  const desk = new RotaDesk(dependencies.records, dependencies.clock);
  const ownerOf = contactOwner(desk);
  onCallRoutes(app, dependencies, desk);
  rotaChangeRoutes(app, dependencies, desk);
  calendarRoutes(app, dependencies, desk);
  contactPointRoutes(app, dependencies, ownerOf);
  alertingRoutes(app, dependencies, ownerOf);
  pageRoutes(app, dependencies, { desk, rate });
}

/** Programs announce JSON and send nothing where nothing is needed. */
function acceptEmptyJson(app: FastifyInstance): void {
  const parse = app.getDefaultJsonParser('error', 'error');
  app.addContentTypeParser('application/json', { parseAs: 'string' }, (request, body, done) => {
    if (body === '') done(null, undefined);
    else void parse(request, body.toString(), done);
  });
}
