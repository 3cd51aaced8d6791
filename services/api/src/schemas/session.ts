import { ROLES, type Role } from '@lineside/storage';
import { z } from 'zod';

/** Shortest password, the least of NIST SP 800-63B (15 alone, 8 with more) rounded by us. */
const PASSWORD_LEAST_CHARACTERS = 12;
/** Longest password: far above what a person types, and it bounds the work of hashing. */
const PASSWORD_MOST_CHARACTERS = 256;
const USERNAME_MOST_CHARACTERS = 64;
const DISPLAY_NAME_MOST_CHARACTERS = 100;

export interface SessionJson {
  readonly person: {
    readonly username: string;
    readonly displayName: string;
    readonly role: Role;
    readonly sites: readonly string[] | null;
  };
  readonly csrfToken: string;
}

export const sessionSchema: z.ZodType<SessionJson> = z
  .object({
    person: z.object({
      username: z.string(),
      displayName: z.string(),
      role: z.enum(ROLES),
      sites: z.array(z.string()).nullable().describe('Sites a viewer reads; null: all.'),
    }),
    csrfToken: z.string().describe('Goes back in x-csrf-token with whatever changes something.'),
  })
  .meta({ id: 'Session' });

export interface SignInBody {
  readonly username: string;
  readonly password: string;
}

/** Bounds only: what is wrong with a name or password is never said at sign-in. */
export const signInBody: z.ZodType<SignInBody> = z
  .object({
    username: z.string().min(1).max(USERNAME_MOST_CHARACTERS),
    password: z.string().min(1).max(PASSWORD_MOST_CHARACTERS),
  })
  .meta({ id: 'SignIn' });

export interface InvitationJson {
  readonly role: Role;
}

export const invitationSchema: z.ZodType<InvitationJson> = z
  .object({ role: z.enum(ROLES) })
  .meta({ id: 'Invitation' });

/** Longer than any secret that is handed out. */
const SECRET_MOST_CHARACTERS = 128;

export interface InvitationParams {
  readonly secret: string;
}

export const invitationParams: z.ZodType<InvitationParams> = z.object({
  secret: z.string().max(SECRET_MOST_CHARACTERS),
});

export interface AcceptanceBody {
  readonly secret: string;
  readonly username: string;
  readonly displayName: string;
  readonly password: string;
}

const USERNAME_RULE = `must be 1 to ${USERNAME_MOST_CHARACTERS} characters without spaces`;
const DISPLAY_NAME_RULE = `must be 1 to ${DISPLAY_NAME_MOST_CHARACTERS} characters`;
const PASSWORD_RULE =
  `must be ${PASSWORD_LEAST_CHARACTERS} to ${PASSWORD_MOST_CHARACTERS} characters` +
  ' and not the user name';

export const acceptanceBody: z.ZodType<AcceptanceBody> = z
  .object({
    secret: z.string().min(1).max(SECRET_MOST_CHARACTERS),
    username: z
      .string({ error: USERNAME_RULE })
      .trim()
      .min(1, { error: USERNAME_RULE })
      .max(USERNAME_MOST_CHARACTERS, { error: USERNAME_RULE })
      .regex(/^[^\s\p{C}]+$/u, { error: USERNAME_RULE }),
    displayName: z
      .string({ error: DISPLAY_NAME_RULE })
      .trim()
      .min(1, { error: DISPLAY_NAME_RULE })
      .max(DISPLAY_NAME_MOST_CHARACTERS, { error: DISPLAY_NAME_RULE })
      .regex(/^\P{C}+$/u, { error: DISPLAY_NAME_RULE }),
    password: z
      .string({ error: PASSWORD_RULE })
      .min(PASSWORD_LEAST_CHARACTERS, { error: PASSWORD_RULE })
      .max(PASSWORD_MOST_CHARACTERS, { error: PASSWORD_RULE }),
  })
  .refine((body) => body.password.toLowerCase() !== body.username.toLowerCase(), {
    path: ['password'],
    message: PASSWORD_RULE,
  })
  .meta({ id: 'InvitationAcceptance' });
