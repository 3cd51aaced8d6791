export interface paths {
    "/api/health": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * State of services, broker and stores, and readings that wait to be judged
         * @description Always 200 while the process answers; look at `state`.
         */
        get: operations["readHealth"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/metrics": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Figures of the server in the Prometheus text format */
        get: operations["readMetrics"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/openapi.json": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** This document, OpenAPI 3.1 */
        get: operations["readOpenApi"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/session": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Who is signed in, and the token for changes */
        get: operations["readSession"];
        put?: never;
        /** Sign in with name and password; sets the session cookie */
        post: operations["startSession"];
        /** Sign out */
        delete: operations["endSession"];
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/invitation/{secret}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Whether an invitation still holds, and for which role */
        get: operations["readInvitation"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/invitation": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Choose a name and a password; signs in */
        post: operations["acceptInvitation"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Units by site and unit, with condition and standing alarms */
        get: operations["listUnits"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units/{site}/{unit}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** One unit, retired ones included */
        get: operations["readUnit"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units/{site}/{unit}/telemetry": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * Readings of a unit, or of an outdoor station with unit weather, as columns
         * @description Minimum, mean and maximum a bucket, or raw points where there are no more than `points`. Without from and to: the last 24 hours.
         */
        get: operations["readTelemetry"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units/{site}/{unit}/episodes": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Wettings of a unit, newest start first; an episode is not an alarm */
        get: operations["listEpisodes"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units/{site}/{unit}/service": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Service records of a unit, newest first */
        get: operations["listServiceRecords"];
        put?: never;
        /** Record what was done at a unit */
        post: operations["addServiceRecord"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/alarms": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Alarms, newest raise first */
        get: operations["listAlarms"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/alarms/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** One alarm, withdrawn ones included */
        get: operations["readAlarm"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/alarms/{id}/acknowledge": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Acknowledge an alarm; twice is no error */
        post: operations["acknowledgeAlarm"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/alarms/{id}/hand-on": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Let an unacknowledged alarm ask whoever is next */
        post: operations["handOnAlarm"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/alarms/{id}/unshelve": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Take an alarm off the shelf */
        post: operations["unshelveAlarm"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/alarms/{id}/shelve": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Put an alarm aside until a time, with a reason */
        post: operations["shelveAlarm"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/alarms/{id}/journal": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** What happened to an alarm, who did it and why, newest first */
        get: operations["readAlarmJournal"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/units/{site}/{unit}/holds": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Maintenance and out-of-service times of a unit, newest begin first */
        get: operations["listHolds"];
        put?: never;
        /** Put a unit under maintenance, or take it out of service, until a time */
        post: operations["addHold"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/holds/{id}/end": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** End a hold now, or cancel one that has not begun; twice is no error */
        post: operations["endHold"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/alarms/{id}/verdict": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Say whether an alarm was true; replaces what the same person said before */
        post: operations["giveVerdict"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/alarms/{id}/verdicts": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** What people found of an alarm, newest first, one of each person */
        get: operations["listVerdictsOfAlarm"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/verdicts": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * All verdicts with their alarms, oldest first; for the office only
         * @description Items written one a line are the file that a back-test takes.
         */
        get: operations["listLabelledCases"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/precision": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** How many of the alarms that were raised in a time were true */
        get: operations["readPrecision"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/alarm-figures": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * Figures of the alarm system after ISA-18.2, EEMUA 191 and IEC 62682
         * @description Of the sites of the caller: all together, each team on call, each site.
         */
        get: operations["readAlarmFigures"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/alarm-figures.csv": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The same as CSV (RFC 4180) */
        get: operations["readAlarmFiguresCsv"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/quarantine": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Messages that were refused, newest first; for the office only */
        get: operations["listQuarantine"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/storms": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * Storms, newest start first
         * @description Found in wettings, alarms of moisture and leakage, and weather, in the sites of the caller. A storm touched several units beyond their habit, or came with storm weather.
         */
        get: operations["listStorms"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/storms/{id}.csv": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** A storm's units in order of harm, as CSV (RFC 4180) */
        get: operations["readStormUnits"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/storms/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** One storm: what happened, units in order of harm, what to visit with which parts */
        get: operations["readStorm"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/what-if": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Judge stored history with other limits; the alarm journal stays as it is */
        post: operations["askWhatIf"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/what-if/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** How far it is, and the alarms that there would have been */
        get: operations["getWhatIf"];
        put?: never;
        post?: never;
        /** End it */
        delete: operations["cancelWhatIf"];
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/events": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * Server-sent events
         * @description Events `reading` (data: ReadingEvent), `condition` (ConditionEvent) and `alarm` (Alarm), each
         *     with an id. A stream that is taken up again with Last-Event-ID misses no alarm, and no other
         *     event that is still remembered. When more comes than a listener takes, readings and conditions
         *     are sent as the newest a unit and second; alarms are always all sent.
         */
        get: operations["listenToEvents"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/on-call": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Who is on call and who is next, by team; no team before a rota was applied */
        get: operations["readOnCall"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/on-call/shifts": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Shifts that touch [from, to), whole and without gap between them */
        get: operations["listShifts"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/on-call/rota": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The whole rota, its covers and swaps, and what somebody should look at */
        get: operations["readRota"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/on-call/teams/{team}/changes": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /**
         * Arrange a cover or a swap of shifts, or try what would come of it
         * @description Technicians for shifts of their own, the office for all. Refused when it would give nobody anything.
         */
        post: operations["arrangeChange"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/on-call/teams/{team}/changes/{id}/call-off": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Call a cover or swap off; every calendar learns of it */
        post: operations["callOffChange"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/on-call/calendar": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** A secret address of your calendar of shifts; the one before holds no longer */
        post: operations["makeCalendarAddress"];
        /** Take the address of your calendar back; it shows nothing any more */
        delete: operations["takeBackCalendarAddress"];
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/on-call/calendar/{file}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Shifts as an iCalendar object (RFC 5545), for a calendar to subscribe to */
        get: operations["readCalendar"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/contact-points/mine": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** How you are reached: devices of yours, and what the office entered */
        get: operations["listMyContactPoints"];
        put?: never;
        /** Page this device by Web Push; the same subscription twice is no error */
        post: operations["addPushDevice"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/push-key": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The public key that a push subscription is made with */
        get: operations["readPushKey"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/contact-points/mine/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post?: never;
        /** Page a device of yours no longer */
        delete: operations["removePushDevice"];
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/alerting": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** Whether pages get through: last reading, last page handed over, what waits */
        get: operations["readAlerting"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/test-page": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Send a test page to all contact points of your own */
        post: operations["sendTestPage"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/pages/{link}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** The alarms of a page, as they are now; reading changes nothing */
        get: operations["readPage"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/pages/{link}/alarms/{alarm}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** One alarm of a page in full */
        get: operations["readPageAlarm"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/pages/{link}/chart/{alarm}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** A week of what an alarm of a page is about, in few points */
        get: operations["readPageChart"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/pages/{link}/on-my-way": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Acknowledge, and say in the journal that somebody is on the way */
        post: operations["onMyWayFromPage"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/pages/{link}/acknowledge": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Acknowledge an alarm of a page, or all of them */
        post: operations["acknowledgeFromPage"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/pages/{link}/hand-on": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Say `not me`: the next in line is asked at once */
        post: operations["handOnFromPage"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/pages/{link}/shelve": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /** Put an alarm of a page aside until a time, with a reason */
        post: operations["shelveFromPage"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
}
export type webhooks = Record<string, never>;
export interface components {
    schemas: {
        AlarmNoteInput: {
            /** @description For the journal, for example: on my way. */
            note?: string;
        };
        ShelvingInput: {
            /**
             * Format: date-time
             * @description When it comes off the shelf by itself.
             */
            until: string;
            reason: string;
        };
        PushDeviceInput: {
            /** @description What you know the device by; absent: as the one that it replaces. */
            name?: string;
            subscription: {
                endpoint: string;
                keys: {
                    p256dh: string;
                    auth: string;
                };
            };
            /** @description Endpoint of the subscription that the browser had before. */
            replaces?: string;
        };
        HoldRequestInput: {
            /**
             * @description maintenance: alarms are journalled and shown, nobody is paged, at most 30 days. out-of-service: alarms are set aside with the unit, at most 180 days.
             * @enum {string}
             */
            kind: "maintenance" | "out-of-service";
            /** @description Who answers for it. Needed for out-of-service; else whoever asks. */
            owner?: string;
            reason: string;
            /**
             * Format: date-time
             * @description Default now; at most a day back and 90 days ahead.
             */
            from?: string;
            /**
             * Format: date-time
             * @description When it ends by itself.
             */
            until: string;
        };
        SignInInput: {
            username: string;
            password: string;
        };
        InvitationAcceptanceInput: {
            secret: string;
            username: string;
            displayName: string;
            password: string;
        };
        RotaChangeInput: {
            change: {
                /** @constant */
                kind: "cover";
                /**
                 * @description null: whichever call the person has.
                 * @default null
                 */
                call: ("first" | "second") | null;
                /** @description Who is on call by the rota. */
                for: string;
                /** @description Who takes it. */
                by: string;
                /** @description By the clock of the team's zone. */
                from: string;
                to: string;
            } | {
                /** @constant */
                kind: "swap";
                /**
                 * @default first
                 * @enum {string}
                 */
                call: "first" | "second";
                one: {
                    /** @description Who gives the shift away. */
                    person: string;
                    /** @description Date on which it begins. */
                    shift: string;
                };
                other: {
                    /** @description Who gives the shift away. */
                    person: string;
                    /** @description Date on which it begins. */
                    shift: string;
                };
            };
            /** @description The rota that the caller looked at; 409 when it is another one by now. */
            generation?: number;
            /**
             * @description true: only checks, and answers what would come of it.
             * @default false
             */
            tryOnly: boolean;
        };
        RotaChangeCallOffInput: {
            /** @description The rota that the caller looked at; 409 when it is another one by now. */
            generation?: number;
        } | null;
        PagePressInput: {
            /** @description Id of an alarm of the page, or `all`. */
            alarm: string;
        };
        PagePressWithNoteInput: {
            /** @description Id of an alarm of the page, or `all`. */
            alarm: string;
            note?: string;
        };
        PageShelvingInput: {
            /** @description Id of an alarm of the page, or `all`. */
            alarm: string;
            /**
             * Format: date-time
             * @description When it comes off the shelf by itself.
             */
            until: string;
            reason: string;
        };
        ServiceEntryInput: {
            /** @description That of the address, if given. */
            site?: string;
            /** @description That of the address, if given. */
            unit?: string;
            /**
             * Format: date-time
             * @description When it was done; default now, at most 5 minutes ahead.
             */
            time?: string;
            /** @enum {string} */
            action: "fuses-replaced" | "contactor-replaced" | "connector-replaced" | "cleaned" | "sealed" | "gasket-replaced" | "drain-cleared" | "connections-torqued" | "insulation-test" | "inspection" | "root-cause" | "disconnect-opened" | "disconnect-closed";
            phases?: ("a" | "b" | "c")[];
        } & {
            [key: string]: unknown;
        };
        VerdictEntryInput: {
            /**
             * @description true: what the alarm said was there. unclear: nobody could say.
             * @enum {string}
             */
            verdict: "true" | "false" | "unclear";
            /**
             * @description What was found on site.
             * @default
             */
            found: string;
            /** @description The cause as found; absent or null when it is not known. */
            cause?: ("condensation" | "water-ingress" | "humid-weather" | "line-side-track-to-ground" | "pole-to-pole-track" | "load-insulation" | "supply-voltage" | "worn-pole-or-connection" | "open-fuse" | "disconnect-open-or-fuses-open" | "sensor-fault" | "node-offline" | "utility-outage" | "unknown") | null;
        };
        WhatIfQuestionInput: {
            /** @description Only this site. */
            site?: string;
            /** @description Only units of this id; goes with site. */
            unit?: string;
            /** @description As in a fleet file; what is not named stays as it is. */
            limits: {
                leakageRoutine?: number;
                leakageUrgent?: number;
                leakageEmergency?: number;
                unbalanceRoutine?: number;
                unbalanceUrgent?: number;
                voltageUnbalanceRoutine?: number;
                voltageUnbalanceUrgent?: number;
                voltageUnbalanceEmergency?: number;
                silentRoutine?: number;
                silentUrgent?: number;
            };
            /**
             * Format: date-time
             * @description Alarms from then on; absent: from the first reading.
             */
            from?: string;
            /**
             * Format: date-time
             * @description Alarms before then; absent: until now.
             */
            to?: string;
        };
        AlarmFigure: {
            /**
             * @description position: the team that answers.
             * @enum {string}
             */
            scope: "fleet" | "site" | "position";
            /** @description The site or position; empty for the fleet. */
            name: string;
            figure: string;
            /** @description null where there is nothing to take it from. */
            value: number | null;
            /** @enum {string} */
            unit: "alarms" | "spans" | "floods" | "share" | "min" | "alarm points";
            /** @description What is published for it, and where. */
            target: {
                /** @enum {string} */
                kind: "at-most" | "about";
                value: number;
                manageable: number | null;
                source: string;
            } | null;
        };
        AlarmFigures: {
            /** Format: date-time */
            from: string;
            /** Format: date-time */
            to: string;
            items: components["schemas"]["AlarmFigure"][];
        };
        Problem: {
            /** @description about:blank: the title is that of the status. */
            type: string;
            title: string;
            status: number;
            /** @description What was wrong and what to do. */
            detail?: string;
            /** @description Stable name of the problem for programs. */
            code: string;
            /** @description With status 400: each thing that is wrong and where it stands. */
            errors?: {
                path: string;
                message: string;
            }[];
        };
        Alarm: {
            id: string;
            site: string;
            unit: string;
            /** @enum {string} */
            kind: "moisture" | "leakage" | "phase-track" | "unbalance" | "phase-loss" | "supply-loss" | "repeat-fuse" | "sensor" | "silent";
            /**
             * @description The highest reached.
             * @enum {string}
             */
            priority: "routine" | "urgent" | "emergency";
            /**
             * @description State of ANSI/ISA-18.2.
             * @enum {string}
             */
            state: "normal" | "unacknowledged" | "acknowledged" | "returned-unacknowledged" | "shelved" | "suppressed" | "out-of-service";
            /** @description Whether its condition is present, whatever the state. */
            standing: boolean;
            /**
             * Format: date-time
             * @description Event time of the first raise.
             */
            raised: string;
            /** @description Event time; null while it stands. */
            cleared: string | null;
            /** @description Time of the acknowledgement that holds now. */
            acknowledged: string | null;
            acknowledgedBy: string | null;
            /** @description When it comes off the shelf by itself. */
            shelvedUntil: string | null;
            shelvedBy: string | null;
            shelveReason: string | null;
            /** @description Raise, rises and reopenings, oldest first. */
            priorities: {
                /** @enum {string} */
                priority: "routine" | "urgent" | "emergency";
                /**
                 * Format: date-time
                 * @description RFC 3339, UTC.
                 */
                since: string;
                /** @description As judged then. */
                causes: {
                    /** @enum {string} */
                    cause: "condensation" | "water-ingress" | "humid-weather" | "line-side-track-to-ground" | "pole-to-pole-track" | "load-insulation" | "supply-voltage" | "worn-pole-or-connection" | "open-fuse" | "disconnect-open-or-fuses-open" | "sensor-fault" | "node-offline" | "utility-outage" | "unknown";
                    probability: number;
                    because: string[];
                }[];
            }[];
            headline: string;
            /** @description Numbers behind the alarm; each name carries its unit. */
            evidence: {
                [key: string]: number | string | boolean | null;
            };
            /** @description Most probable first. */
            causes: {
                /** @enum {string} */
                cause: "condensation" | "water-ingress" | "humid-weather" | "line-side-track-to-ground" | "pole-to-pole-track" | "load-insulation" | "supply-voltage" | "worn-pole-or-connection" | "open-fuse" | "disconnect-open-or-fuses-open" | "sensor-fault" | "node-offline" | "utility-outage" | "unknown";
                probability: number;
                because: string[];
            }[];
            /** @description Whether later data took its cause away; it is over then. */
            withdrawn: boolean;
            /** @description What to check on site to settle the cause, what settles most first. */
            checks: string[];
            /** @description What to bring, by the causes and the unit's nameplate. */
            bring: string[];
            /** @description What to mind there. Local codes and licensed practice come first. */
            cautions: string[];
        };
        JudgedAlarm: {
            id: string;
            site: string;
            unit: string;
            /** @enum {string} */
            kind: "moisture" | "leakage" | "phase-track" | "unbalance" | "phase-loss" | "supply-loss" | "repeat-fuse" | "sensor" | "silent";
            /**
             * @description The highest reached.
             * @enum {string}
             */
            priority: "routine" | "urgent" | "emergency";
            /**
             * @description State of ANSI/ISA-18.2.
             * @enum {string}
             */
            state: "normal" | "unacknowledged" | "acknowledged" | "returned-unacknowledged" | "shelved" | "suppressed" | "out-of-service";
            /** @description Whether its condition is present, whatever the state. */
            standing: boolean;
            /**
             * Format: date-time
             * @description Event time of the first raise.
             */
            raised: string;
            /** @description Event time; null while it stands. */
            cleared: string | null;
            /** @description Time of the acknowledgement that holds now. */
            acknowledged: string | null;
            acknowledgedBy: string | null;
            /** @description When it comes off the shelf by itself. */
            shelvedUntil: string | null;
            shelvedBy: string | null;
            shelveReason: string | null;
            /** @description Raise, rises and reopenings, oldest first. */
            priorities: {
                /** @enum {string} */
                priority: "routine" | "urgent" | "emergency";
                /**
                 * Format: date-time
                 * @description RFC 3339, UTC.
                 */
                since: string;
                /** @description As judged then. */
                causes: {
                    /** @enum {string} */
                    cause: "condensation" | "water-ingress" | "humid-weather" | "line-side-track-to-ground" | "pole-to-pole-track" | "load-insulation" | "supply-voltage" | "worn-pole-or-connection" | "open-fuse" | "disconnect-open-or-fuses-open" | "sensor-fault" | "node-offline" | "utility-outage" | "unknown";
                    probability: number;
                    because: string[];
                }[];
            }[];
            headline: string;
            /** @description Numbers behind the alarm; each name carries its unit. */
            evidence: {
                [key: string]: number | string | boolean | null;
            };
            /** @description Most probable first. */
            causes: {
                /** @enum {string} */
                cause: "condensation" | "water-ingress" | "humid-weather" | "line-side-track-to-ground" | "pole-to-pole-track" | "load-insulation" | "supply-voltage" | "worn-pole-or-connection" | "open-fuse" | "disconnect-open-or-fuses-open" | "sensor-fault" | "node-offline" | "utility-outage" | "unknown";
                probability: number;
                because: string[];
            }[];
            /** @description Whether later data took its cause away; it is over then. */
            withdrawn: boolean;
        };
        AlarmJournalEntry: {
            /** @description Rises through the journal of all alarms. */
            sequence: number;
            /**
             * Format: date-time
             * @description Event time for what a watch found, else when somebody did it.
             */
            time: string;
            /** @enum {string} */
            event: "raise" | "reopen" | "escalate" | "reconsider" | "clear" | "acknowledge" | "shelve" | "unshelve" | "shelf-expired" | "hand-on" | "suppress" | "unsuppress" | "take-out-of-service" | "return-to-service" | "revise" | "withdraw";
            from: ("normal" | "unacknowledged" | "acknowledged" | "returned-unacknowledged" | "shelved" | "suppressed" | "out-of-service") | null;
            /** @enum {string} */
            to: "normal" | "unacknowledged" | "acknowledged" | "returned-unacknowledged" | "shelved" | "suppressed" | "out-of-service";
            /** @description watch, clock, or the name of the person or token. */
            by: string;
            /** @description Why, or what they said. */
            note: string | null;
            /**
             * @description Afterwards.
             * @enum {string}
             */
            priority: "routine" | "urgent" | "emergency";
            /** @description Afterwards. */
            standing: boolean;
        };
        Alerting: {
            /**
             * Format: date-time
             * @description Now, by the clock of the server.
             */
            at: string;
            /** @description Event time of the newest judged reading. */
            lastReading: string | null;
            /** @description When each channel last took a page. */
            handedOver: {
                /** @enum {string} */
                channel: "web-push" | "e-mail" | "webhook";
                /** Format: date-time */
                at: string;
            }[];
            waiting: {
                /** @description Pages that wait for their channel. */
                messages: number;
                /** @description Whether more of them wait than were counted. */
                isMore: boolean;
                /** @description When the oldest of them was made. */
                oldest: string | null;
            };
            /** @description Of the newest hundred pages the newest that has not gone through. */
            failure: {
                /**
                 * Format: date-time
                 * @description When the page was made.
                 */
                at: string;
                /** @enum {string} */
                channel: "web-push" | "e-mail" | "webhook";
                /** @description false while it is tried again. */
                givenUp: boolean;
                reason: string;
            } | null;
        };
        TestPage: {
            sent: {
                /** @description Id of the contact point. */
                contact: string;
                /** @enum {string} */
                channel: "web-push" | "e-mail" | "webhook";
                name: string;
            }[];
            /** @description What was sent, and to where. */
            words: string;
        };
        CalendarAddress: {
            /** @description Path of the calendar on this server. Secret; it is shown this once. */
            path: string;
            /**
             * @description own: the shifts of who asked; all: of everybody, for who takes none.
             * @enum {string}
             */
            shows: "own" | "all";
        };
        ContactPoint: {
            id: string;
            /** @enum {string} */
            channel: "web-push" | "e-mail" | "webhook";
            name: string;
            /**
             * @description A file that was applied, or a device of yours.
             * @enum {string}
             */
            origin: "file" | "device";
            /** Format: date-time */
            since: string;
        };
        ContactPoints: {
            /** @description Each page goes to all of them. */
            items: components["schemas"]["ContactPoint"][];
        };
        PushKey: {
            /** @description For `applicationServerKey` (VAPID, RFC 8292); null: this server sends no push. */
            publicKey: string | null;
        };
        Episode: {
            site: string;
            unit: string;
            /** Format: date-time */
            start: string;
            /** Format: date-time */
            peak: string;
            /** @description null while it goes on. */
            end: string | null;
            /** @enum {string} */
            source: "condensation" | "water-ingress" | "humid-weather";
            wetHours: number;
        };
        LeakageOutlook: {
            /** @description Driest film that was seen, %RH. */
            seenFromPercent: number;
            /** @description Wettest film that was seen, %RH. */
            seenToPercent: number;
            /** @description Leakage at 50 %RH, with limits for nine days of ten. */
            dryDay: {
                milliamps: number;
                lowerMilliamps: number;
                upperMilliamps: number;
                /** @description True when nothing so humid, or so dry, was seen. */
                extrapolated: boolean;
            } | null;
            /** @description Leakage at 95 %RH, with limits for nine days of ten. */
            wetDay: {
                milliamps: number;
                lowerMilliamps: number;
                upperMilliamps: number;
                /** @description True when nothing so humid, or so dry, was seen. */
                extrapolated: boolean;
            } | null;
            /** @description Humidities of the film that it has yet to see, %RH; empty once learned. */
            missingBands: {
                fromPercent: number;
                toPercent: number;
            }[];
            /**
             * @description running: rest was not seen, so the sensor error under load is in all figures.
             * @enum {string}
             */
            basis: "rest" | "running";
            dryGrowth: {
                milliampsPerWeek: number;
                lowerMilliampsPerWeek: number | null;
                upperMilliampsPerWeek: number | null;
                weeks: number;
            } | null;
            wetGrowth: {
                milliampsPerWeek: number;
                lowerMilliampsPerWeek: number | null;
                upperMilliampsPerWeek: number | null;
                weeks: number;
            } | null;
            /** @description Until wet days bring the emergency limit. */
            timeToLimit: {
                days: number;
                soonestDays: number | null;
                /** @description null: perhaps never. */
                latestDays: number | null;
            } | null;
            /** @description Where the leak is that humidity brings out; null while nothing rises with it. */
            side: ("line" | "load" | "undetermined") | null;
            /** @description What the load adds to the reading. */
            loadMilliampsPerAmp: number | null;
            /** @description At rest in dry films. */
            milliampsPerKelvin: number | null;
            /** @description In wet films: maximum over mean of an interval. */
            wetPeakRatio: number | null;
            /** @description Share of wet readings with bursts. */
            wetBurstShare: number | null;
            repair: {
                /** Format: date-time */
                repaired: string;
                dryBeforeMilliamps: number | null;
                wetBeforeMilliamps: number | null;
                wetGrowthBeforeMilliampsPerWeek: number | null;
                /** @description At the most humid film that was seen before and after. */
                matched: {
                    humidityPercent: number;
                    beforeMilliamps: number;
                    afterMilliamps: number;
                } | null;
                testedByWeather: boolean;
            } | null;
        };
        Condition: {
            /**
             * Format: date-time
             * @description Event time of the newest judged reading.
             */
            time: string;
            /** @enum {string} */
            operatingState: "running" | "idle" | "dead" | "unknown";
            relativeHumidityPercent: number | null;
            dewPointMarginKelvin: number | null;
            /** @description True when the margin comes from the air, not the plate. */
            marginInferred: boolean;
            vapourPressureExcessPascals: number | null;
            leakageMilliamps: number | null;
            currentUnbalancePercent: number | null;
            voltageUnbalancePercent: number | null;
            wetting: {
                /** Format: date-time */
                since: string;
                /** @enum {string} */
                source: "condensation" | "water-ingress" | "humid-weather";
            } | null;
            /** @description ISO 9223 hours of wetness in the last 30 days. */
            wetHours30Days: number;
            learningBaseline: boolean;
            leakageOutlook: components["schemas"]["LeakageOutlook"] | null;
        };
        /** @description Channels beside site, unit and time, in the units of the channel table. */
        ReadingEvent: {
            site: string;
            unit: string;
            /** Format: date-time */
            time: string;
        } & {
            [key: string]: number;
        };
        ConditionEvent: {
            site: string;
            unit: string;
            /**
             * Format: date-time
             * @description Event time of the newest judged reading.
             */
            time: string;
            /** @enum {string} */
            operatingState: "running" | "idle" | "dead" | "unknown";
            relativeHumidityPercent: number | null;
            dewPointMarginKelvin: number | null;
            /** @description True when the margin comes from the air, not the plate. */
            marginInferred: boolean;
            vapourPressureExcessPascals: number | null;
            leakageMilliamps: number | null;
            currentUnbalancePercent: number | null;
            voltageUnbalancePercent: number | null;
            wetting: {
                /** Format: date-time */
                since: string;
                /** @enum {string} */
                source: "condensation" | "water-ingress" | "humid-weather";
            } | null;
            /** @description ISO 9223 hours of wetness in the last 30 days. */
            wetHours30Days: number;
            learningBaseline: boolean;
            leakageOutlook: components["schemas"]["LeakageOutlook"] | null;
        };
        PartHealth: {
            /** @enum {string} */
            state: "ok" | "degraded" | "down";
            /** @description Why, when it is not ok. */
            reason: string | null;
        };
        Health: {
            /**
             * @description The worst of the parts.
             * @enum {string}
             */
            state: "ok" | "degraded" | "down";
            ingest: components["schemas"]["PartHealth"];
            alerting: components["schemas"]["PartHealth"];
            broker: components["schemas"]["PartHealth"];
            telemetry: components["schemas"]["PartHealth"];
            records: components["schemas"]["PartHealth"];
            /** @description Committed readings not yet judged. At 0 the alarms are final for all of them. Null when the service that judges does not answer: nothing can be said of the alarms then. */
            pending: number | null;
        };
        Hold: {
            id: string;
            site: string;
            unit: string;
            /** @enum {string} */
            kind: "maintenance" | "out-of-service";
            /** @description Who answers for it. */
            owner: string;
            reason: string;
            /** Format: date-time */
            from: string;
            /**
             * Format: date-time
             * @description When it ends by itself.
             */
            until: string;
            /** @description When somebody ended it before. */
            ended: string | null;
            endedBy: string | null;
        };
        Session: {
            person: {
                username: string;
                displayName: string;
                /** @enum {string} */
                role: "office" | "technician" | "viewer";
                /** @description Sites a viewer reads; null: all. */
                sites: string[] | null;
            };
            /** @description Goes back in x-csrf-token with whatever changes something. */
            csrfToken: string;
        };
        Invitation: {
            /** @enum {string} */
            role: "office" | "technician" | "viewer";
        };
        OnCallPerson: {
            /** @description Also the user name of who signs in. */
            id: string;
            name: string;
        };
        Shift: {
            /** @description Stays when somebody covers or swaps. */
            id: string;
            team: string;
            /**
             * @description first is asked first, second when first does not answer.
             * @enum {string}
             */
            call: "first" | "second";
            /** @enum {string} */
            kind: "rotation" | "holiday";
            /** Format: date-time */
            from: string;
            /**
             * Format: date-time
             * @description Half open: over at this instant.
             */
            to: string;
            /** @description null: nobody is on call, see gap. */
            person: components["schemas"]["OnCallPerson"] | null;
            /** @description Why nobody is on call. */
            gap: string | null;
            /** @description Whose it was before covers and swaps. */
            planned: components["schemas"]["OnCallPerson"] | null;
            /** @description Ids of the covers and swaps that altered it. */
            changes: string[];
        };
        OnCallOfCall: {
            now: components["schemas"]["Shift"];
            next: components["schemas"]["Shift"] | null;
        };
        OnCall: {
            /**
             * Format: date-time
             * @description The instant that `now` means.
             */
            at: string;
            teams: {
                id: string;
                name: string;
                /** @description IANA time zone of the team. */
                zone: string;
                /** @description Those that the team names and the caller may read. */
                sites: string[];
                /** @description Covers all sites that no team names. */
                takesOtherSites: boolean;
                first: components["schemas"]["OnCallOfCall"];
                /** @description null for a team without a second call. */
                second: components["schemas"]["OnCallOfCall"] | null;
            }[];
            /** @description Name of who is asked when nobody else is left; null while there is no rota. */
            office: string | null;
        };
        Shifts: {
            /** @description By team, then call, then time. */
            items: components["schemas"]["Shift"][];
        };
        RotaNotice: {
            /** @description Where in the rota, or in the sites of the fleet. */
            place: string;
            /** @description What is the matter, and what to do. */
            words: string;
        };
        RotaChangeOutcome: {
            /** @description Id of the cover or swap. */
            id: string;
            /** @description false when it was only tried. */
            kept: boolean;
            /** @description Of the rota that is kept now. */
            generation: number;
            /** @description The shifts that it alters, as they are after it. */
            shifts: components["schemas"]["Shift"][];
            /** @description What somebody should look at because of it. */
            notices: components["schemas"]["RotaNotice"][];
        };
        ArrangedChange: {
            id: string;
            /** @enum {string} */
            kind: "cover" | "swap";
            /** @description null: whichever call the person has. */
            call: ("first" | "second") | null;
            /** @description Who takes what from whom. */
            words: string;
            /** @description Ids of who gives a shift away. */
            people: string[];
        };
        Rota: {
            /** @description Rises with each change; 0 before the first rota. */
            generation: number;
            people: components["schemas"]["OnCallPerson"][];
            teams: {
                id: string;
                name: string;
                zone: string;
                /** @description Ids of who may cover. */
                members: string[];
                /** @description Covers and swaps in force and not over, as agreed. */
                changes: components["schemas"]["ArrangedChange"][];
            }[];
            /** @description What somebody should look at in the next 12 weeks. */
            notices: components["schemas"]["RotaNotice"][];
            /** @description The whole rota, as a rota file has it; null before the first. */
            document: {
                [key: string]: unknown;
            } | null;
        };
        PageAlarm: {
            id: string;
            site: string;
            unit: string;
            unitName: string;
            /** @enum {string} */
            kind: "moisture" | "leakage" | "phase-track" | "unbalance" | "phase-loss" | "supply-loss" | "repeat-fuse" | "sensor" | "silent";
            /** @enum {string} */
            priority: "routine" | "urgent" | "emergency";
            /** @enum {string} */
            state: "normal" | "unacknowledged" | "acknowledged" | "returned-unacknowledged" | "shelved" | "suppressed" | "out-of-service";
            standing: boolean;
            withdrawn: boolean;
            headline: string;
            /** Format: date-time */
            since: string;
            cleared: string | null;
            acknowledged: string | null;
            acknowledgedBy: string | null;
            shelvedUntil: string | null;
            shelvedBy: string | null;
            shelveReason: string | null;
        };
        PageAlarmDetail: {
            id: string;
            /** @description Most probable first. */
            causes: {
                /** @enum {string} */
                cause: "condensation" | "water-ingress" | "humid-weather" | "line-side-track-to-ground" | "pole-to-pole-track" | "load-insulation" | "supply-voltage" | "worn-pole-or-connection" | "open-fuse" | "disconnect-open-or-fuses-open" | "sensor-fault" | "node-offline" | "utility-outage" | "unknown";
                probability: number;
                because: string[];
            }[];
            /** @description What settles the cause, what settles most first. */
            checks: string[];
            bring: string[];
            cautions: string[];
            /** @description How to get there. */
            access: string | null;
            /** @description By the nameplate. */
            fuses: {
                class: string | null;
                amps: number | null;
            };
            /** @description Line to line, by the nameplate. */
            volts: number | null;
            /** @description What happened and who did what, newest first. */
            journal: {
                /** Format: date-time */
                time: string;
                /** @enum {string} */
                event: "raise" | "reopen" | "escalate" | "reconsider" | "clear" | "acknowledge" | "shelve" | "unshelve" | "shelf-expired" | "hand-on" | "suppress" | "unsuppress" | "take-out-of-service" | "return-to-service" | "revise" | "withdraw";
                by: string;
                note: string | null;
            }[];
        };
        Page: {
            /** @description Whom the page is for. */
            for: string;
            /**
             * Format: date-time
             * @description When this was answered.
             */
            time: string;
            /** Format: date-time */
            expires: string;
            /**
             * @description Whose the buttons are.
             * @enum {string}
             */
            buttons: "free" | "this-device" | "another-device";
            /** @description In the order to visit. */
            sites: {
                site: string;
                name: string;
                /** @description IANA time zone. */
                timezone: string;
                /** @description What keeps people off the roofs now; null is no promise that nothing does. */
                roofDanger: ("lightning" | "wind" | "ice") | null;
                /** @description Alarms of the page there that are not over. */
                standing: number;
            }[];
            /** @description The worst first. */
            alarms: components["schemas"]["PageAlarm"][];
            /** @description Alarms beyond those that are listed. */
            more: number;
            /** @description Of the worst three. */
            details: components["schemas"]["PageAlarmDetail"][];
            /** @description After a button for all: alarms whose state does not allow it, and why. */
            refused: {
                alarmId: string;
                reason: string;
            }[];
        };
        PageChart: {
            /** Format: date-time */
            from: string;
            /** Format: date-time */
            to: string;
            lines: {
                channel: string;
                /** @description SenML unit. */
                unit: string | null;
                /** @description Epoch ms, lowest, mean, highest; to three digits. */
                points: number[][];
            }[];
            /** @description Urgent limits of the unit, in the unit of the channel. */
            limits: {
                channel: string;
                value: number;
            }[];
        };
        QuarantineEntry: {
            /**
             * Format: date-time
             * @description Time of receipt.
             */
            time: string;
            topic: string;
            code: string;
            reason: string;
            /** @description The first 4 KiB of the message, base64. */
            payload: string;
        };
        ServiceRecord: {
            id: string;
            site: string;
            unit: string;
            /** Format: date-time */
            time: string;
            action: string;
            phases?: string[];
            /** Format: date-time */
            recordedAt: string;
            recordedBy: string;
        } & {
            [key: string]: unknown;
        };
        Storm: {
            id: string;
            /** @description What it was and where, a few words. */
            name: string;
            /**
             * Format: date-time
             * @description When it touched the first unit.
             */
            start: string;
            /** @description When the last compartment was dry; null while it goes on. */
            end: string | null;
            /**
             * Format: date-time
             * @description When it touched the last unit.
             */
            lastTouch: string;
            /** @description Sites with units that it touched, those with most first. */
            sites: {
                site: string;
                name: string;
                /** @description IANA time zone. */
                timezone: string;
                units: number;
            }[];
            touchedUnits: number;
            /** @description Units watched in its region. */
            watchedUnits: number;
            /** @description What makes it a storm and not damp weather. */
            because: string[];
            /** @description null without an outdoor station. */
            weather: {
                /** @description Site of the outdoor station that tells most. */
                site: string;
                rainMillimetres: number | null;
                /** @description As water. */
                snowMillimetres: number | null;
                highestWindMetresPerSecond: number | null;
                lowestCelsius: number | null;
                highestCelsius: number | null;
            } | null;
        };
        StormReview: {
            id: string;
            /** @description What it was and where, a few words. */
            name: string;
            /**
             * Format: date-time
             * @description When it touched the first unit.
             */
            start: string;
            /** @description When the last compartment was dry; null while it goes on. */
            end: string | null;
            /**
             * Format: date-time
             * @description When it touched the last unit.
             */
            lastTouch: string;
            /** @description Sites with units that it touched, those with most first. */
            sites: {
                site: string;
                name: string;
                /** @description IANA time zone. */
                timezone: string;
                units: number;
            }[];
            touchedUnits: number;
            /** @description Units watched in its region. */
            watchedUnits: number;
            /** @description What makes it a storm and not damp weather. */
            because: string[];
            /** @description null without an outdoor station. */
            weather: {
                /** @description Site of the outdoor station that tells most. */
                site: string;
                rainMillimetres: number | null;
                /** @description As water. */
                snowMillimetres: number | null;
                highestWindMetresPerSecond: number | null;
                lowestCelsius: number | null;
                highestCelsius: number | null;
            } | null;
            headline: string;
            /** @description In order of harm, the most harmed first. */
            units: {
                site: string;
                unit: string;
                siteName: string;
                name: string;
                access: string | null;
                wetHours: number;
                /** @description The worst of its wettings. */
                source: ("condensation" | "water-ingress" | "humid-weather") | null;
                wettings: {
                    /** Format: date-time */
                    start: string;
                    /** Format: date-time */
                    peak: string;
                    end: string | null;
                    /** @enum {string} */
                    source: "condensation" | "water-ingress" | "humid-weather";
                    wetHours: number;
                }[];
                /** @description From the wettest moment until dry, of the longest. */
                dryingHours: number | null;
                /** @description Whether a wetting goes on. */
                isWet: boolean;
                /** @description Highest leakage reading, until a day after the unit was dry. */
                peakMilliamps: number | null;
                /** @description Highest within a reporting interval, where sent. */
                highestMomentMilliamps: number | null;
                usualMilliamps: number | null;
                usualBasis: ("learned-dry-day" | "lowest-of-three-days-before") | null;
                /** @description Peak above usual. */
                excessMilliamps: number | null;
                alarms: {
                    id: string;
                    /** @enum {string} */
                    kind: "moisture" | "leakage" | "phase-track" | "unbalance" | "phase-loss" | "supply-loss" | "repeat-fuse" | "sensor" | "silent";
                    /** @enum {string} */
                    priority: "routine" | "urgent" | "emergency";
                    headline: string;
                    /** Format: date-time */
                    raised: string;
                    cleared: string | null;
                    acknowledged: string | null;
                    acknowledgedBy: string | null;
                    minutesToAcknowledge: number | null;
                }[];
                highestPriority: ("routine" | "urgent" | "emergency") | null;
                /** @description The longest of its acknowledged alarms. */
                minutesToAcknowledge: number | null;
                unacknowledged: number;
                fuses: {
                    /** @description null: replaced, number not recorded. */
                    replaced: number | null;
                    phases: string[];
                    /** @description Whether an alarm has open fuses as most probable cause. */
                    suspected: boolean;
                };
                visit: {
                    /** @enum {string} */
                    turn: "first" | "soon" | "next-service" | "none";
                    because: string;
                    bring: string[];
                    checks: string[];
                    steps: string[];
                };
            }[];
            /** @description Units at its sites that were only damp. */
            dampUnits: number;
            timeline: {
                /** @description Oldest first. */
                lines: {
                    site: string;
                    unit: string;
                    /** Format: date-time */
                    time: string;
                    /** @enum {string} */
                    kind: "alarm" | "service" | "acknowledged" | "cleared" | "wet" | "dry";
                    words: string;
                }[];
                /** @description Lines left out of a long story, those that matter least. */
                leftOut: number;
            };
            /** @description By the hour, from a day before; null without an outdoor station. */
            weatherHours: {
                site: string;
                hours: {
                    /** Format: date-time */
                    start: string;
                    rainMillimetres: number | null;
                    snowMillimetres: number | null;
                    windMetresPerSecond: number | null;
                    lowestCelsius: number | null;
                    highestCelsius: number | null;
                }[];
            } | null;
            /** @description What all visits together ask for. */
            bag: {
                thing: string;
                units: {
                    site: string;
                    unit: string;
                }[];
            }[];
            cautions: string[];
        };
        Telemetry: {
            channels: {
                [key: string]: {
                    unit: string | null;
                    points: [
                        number,
                        number,
                        number,
                        number
                    ][];
                };
            };
        };
        Nameplate: {
            supply: {
                volts: number;
                hertz: number;
                /** @enum {string} */
                grounding: "solid-wye" | "corner-grounded-delta" | "high-leg-delta" | "ungrounded" | "high-resistance";
                groundingAssumed: boolean;
                mcaAmps: number | null;
                mopAmps: number | null;
            };
            fuses: {
                class: string | null;
                amps: number | null;
            };
            contactors: {
                name: string;
                load: string | null;
                poles: number | null;
                flaAmps: number | null;
            }[];
            drive: boolean;
            access: string | null;
            roof: {
                x: number;
                y: number;
            } | null;
            nodeSupply: ("battery" | "unit-24v") | null;
            limits: {
                leakageRoutineMilliamps: number;
                leakageUrgentMilliamps: number;
                leakageEmergencyMilliamps: number;
                currentUnbalanceRoutinePercent: number;
                currentUnbalanceUrgentPercent: number;
                voltageUnbalanceRoutinePercent: number;
                voltageUnbalanceUrgentPercent: number;
                voltageUnbalanceEmergencyPercent: number;
                silentRoutineMinutes: number;
                silentUrgentMinutes: number;
            };
        };
        Unit: {
            site: string;
            siteName: string;
            /** @description IANA time zone of the site. */
            timezone: string;
            unit: string;
            name: string;
            /** @description null: never heard of its node. */
            presence: ("online" | "offline") | null;
            /** @description Values in the units of the channel table (leak in A), door 0 or 1. */
            lastReading: {
                /** Format: date-time */
                time: string;
                channels: {
                    [key: string]: number;
                };
            } | null;
            condition: components["schemas"]["Condition"] | null;
            /** @description Standing alarms, newest first. */
            alarms: components["schemas"]["Alarm"][];
            /** @description Maintenance or out of service, in force now. */
            hold: components["schemas"]["Hold"] | null;
            nameplate: components["schemas"]["Nameplate"];
            /** @description True when the newest fleet file no longer names the unit. */
            retired: boolean;
        };
        Verdict: {
            /** @description Id of the alarm. */
            alarm: string;
            /** @enum {string} */
            verdict: "true" | "false" | "unclear";
            found: string;
            cause: string | null;
            by: string;
            /** Format: date-time */
            time: string;
        };
        LabelledCase: {
            /** @description Id of the alarm. */
            alarm: string;
            /** @enum {string} */
            verdict: "true" | "false" | "unclear";
            found: string;
            cause: string | null;
            by: string;
            /** Format: date-time */
            time: string;
            site: string;
            unit: string;
            /** @enum {string} */
            kind: "moisture" | "leakage" | "phase-track" | "unbalance" | "phase-loss" | "supply-loss" | "repeat-fuse" | "sensor" | "silent";
            /** Format: date-time */
            raised: string;
            cleared: string | null;
        };
        Precision: {
            /** Format: date-time */
            from: string;
            /** Format: date-time */
            to: string;
            /** @enum {string} */
            by: "kind" | "site";
            /** @description Of the interval, 0 to 1. */
            confidence: number;
            items: {
                /** @description The kind or site; null for all together. */
                name: string | null;
                true: number;
                false: number;
                unclear: number;
                /** @description Nobody said anything of them; no part of the share. */
                withoutVerdict: number;
                /** @description true of true and false, 0 to 1. */
                share: number | null;
                /** @description Wilson's score interval. */
                shareLow: number;
                shareHigh: number;
            }[];
        };
        WhatIf: {
            id: string;
            /** @enum {string} */
            state: "running" | "done" | "cancelled" | "failed";
            /** Format: date-time */
            started: string;
            limits: {
                leakageRoutine?: number;
                leakageUrgent?: number;
                leakageEmergency?: number;
                unbalanceRoutine?: number;
                unbalanceUrgent?: number;
                voltageUnbalanceRoutine?: number;
                voltageUnbalanceUrgent?: number;
                voltageUnbalanceEmergency?: number;
                silentRoutine?: number;
                silentUrgent?: number;
            };
            units: number;
            unitsDone: number;
            /** @description Why it failed. */
            reason: string | null;
            /** @description Without silent and clock alarms. Null until done. */
            counts: {
                /** @enum {string} */
                kind: "moisture" | "leakage" | "phase-track" | "unbalance" | "phase-loss" | "supply-loss" | "repeat-fuse" | "sensor" | "silent";
                /** @enum {string} */
                priority: "routine" | "urgent" | "emergency";
                /** @description Alarms that there were. */
                actual: number;
                /** @description Alarms that there would have been. */
                would: number;
            }[] | null;
            /** @description Those that would have been; null until done. */
            alarms: components["schemas"]["JudgedAlarm"][] | null;
            alarmsLeftOff: number;
        };
    };
    responses: never;
    parameters: never;
    requestBodies: never;
    headers: never;
    pathItems: never;
}
export type $defs = Record<string, never>;
export interface operations {
    readHealth: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Health"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    readMetrics: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Metrics. */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "text/plain": string;
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    readOpenApi: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": {
                        openapi: string;
                    } & {
                        [key: string]: unknown;
                    };
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    readSession: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Session"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    startSession: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["SignInInput"];
            };
        };
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Session"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is too large. */
            413: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is not application/json. */
            415: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    endSession: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Signed out. */
            204: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    readInvitation: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                secret: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Invitation"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    acceptInvitation: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["InvitationAcceptanceInput"];
            };
        };
        responses: {
            /** @description Default Response */
            201: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Session"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The state does not allow it. */
            409: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is too large. */
            413: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is not application/json. */
            415: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    listUnits: {
        parameters: {
            query?: {
                /** @description true lists retired units too. */
                retired?: "true" | "false";
                /** @description Most items of the answer, 1 to 1000; 100 when absent. */
                limit?: number;
                /** @description The `next` of the answer before. */
                cursor?: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": {
                        items: components["schemas"]["Unit"][];
                        /** @description Opaque; pass it as cursor for what follows. null at the end. */
                        next: string | null;
                    };
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    readUnit: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Site id of the fleet. */
                site: string;
                /** @description Unit id of the fleet. */
                unit: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Unit"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    readTelemetry: {
        parameters: {
            query?: {
                /** @description Half open: from <= t < to. Default: 24 hours before to. */
                from?: string;
                /** @description Default: now. */
                to?: string;
                /** @description Default: every channel with data. */
                channels?: string | null;
                /** @description Most points a channel; raw points where there are no more than these. */
                points?: number;
            };
            header?: never;
            path: {
                /** @description Site id of the fleet. */
                site: string;
                /** @description Unit id of the fleet. */
                unit: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Telemetry"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    listEpisodes: {
        parameters: {
            query?: {
                /** @description With to: wettings that overlap [from, to). */
                from?: string;
                to?: string;
                /** @description Most items of the answer, 1 to 1000; 100 when absent. */
                limit?: number;
                /** @description The `next` of the answer before. */
                cursor?: string;
            };
            header?: never;
            path: {
                /** @description Site id of the fleet. */
                site: string;
                /** @description Unit id of the fleet. */
                unit: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": {
                        items: components["schemas"]["Episode"][];
                        /** @description Opaque; pass it as cursor for what follows. null at the end. */
                        next: string | null;
                    };
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    listServiceRecords: {
        parameters: {
            query?: {
                /** @description Most items of the answer, 1 to 1000; 100 when absent. */
                limit?: number;
                /** @description The `next` of the answer before. */
                cursor?: string;
            };
            header?: never;
            path: {
                /** @description Site id of the fleet. */
                site: string;
                /** @description Unit id of the fleet. */
                unit: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": {
                        items: components["schemas"]["ServiceRecord"][];
                        /** @description Opaque; pass it as cursor for what follows. null at the end. */
                        next: string | null;
                    };
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    addServiceRecord: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Site id of the fleet. */
                site: string;
                /** @description Unit id of the fleet. */
                unit: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["ServiceEntryInput"];
            };
        };
        responses: {
            /** @description Default Response */
            201: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["ServiceRecord"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is too large. */
            413: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is not application/json. */
            415: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    listAlarms: {
        parameters: {
            query?: {
                /** @description standing: its condition is present, in any state; open: not yet normal. */
                state?: "standing" | "open";
                site?: string;
                unit?: string;
                kind?: "moisture" | "leakage" | "phase-track" | "unbalance" | "phase-loss" | "supply-loss" | "repeat-fuse" | "sensor" | "silent";
                /** @description With to: alarms that overlap [from, to). */
                from?: string;
                to?: string;
                /** @description true lists withdrawn alarms too. */
                withdrawn?: "true" | "false";
                /** @description Most items of the answer, 1 to 1000; 100 when absent. */
                limit?: number;
                /** @description The `next` of the answer before. */
                cursor?: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": {
                        items: components["schemas"]["Alarm"][];
                        /** @description Opaque; pass it as cursor for what follows. null at the end. */
                        next: string | null;
                    };
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    readAlarm: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Alarm"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    acknowledgeAlarm: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody?: {
            content: {
                "application/json": components["schemas"]["AlarmNoteInput"];
            };
        };
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Alarm"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The state does not allow it. */
            409: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is too large. */
            413: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is not application/json. */
            415: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    handOnAlarm: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody?: {
            content: {
                "application/json": components["schemas"]["AlarmNoteInput"];
            };
        };
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Alarm"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The state does not allow it. */
            409: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is too large. */
            413: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is not application/json. */
            415: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    unshelveAlarm: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Alarm"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The state does not allow it. */
            409: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    shelveAlarm: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["ShelvingInput"];
            };
        };
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Alarm"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The state does not allow it. */
            409: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is too large. */
            413: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is not application/json. */
            415: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    readAlarmJournal: {
        parameters: {
            query?: {
                /** @description Most items of the answer, 1 to 1000; 100 when absent. */
                limit?: number;
                /** @description The `next` of the answer before. */
                cursor?: string;
            };
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": {
                        items: components["schemas"]["AlarmJournalEntry"][];
                        /** @description Opaque; pass it as cursor for what follows. null at the end. */
                        next: string | null;
                    };
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    listHolds: {
        parameters: {
            query?: {
                /** @description Most items of the answer, 1 to 1000; 100 when absent. */
                limit?: number;
                /** @description The `next` of the answer before. */
                cursor?: string;
            };
            header?: never;
            path: {
                /** @description Site id of the fleet. */
                site: string;
                /** @description Unit id of the fleet. */
                unit: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": {
                        items: components["schemas"]["Hold"][];
                        /** @description Opaque; pass it as cursor for what follows. null at the end. */
                        next: string | null;
                    };
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    addHold: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Site id of the fleet. */
                site: string;
                /** @description Unit id of the fleet. */
                unit: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["HoldRequestInput"];
            };
        };
        responses: {
            /** @description Default Response */
            201: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Hold"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The state does not allow it. */
            409: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is too large. */
            413: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is not application/json. */
            415: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    endHold: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description It is over. */
            204: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    giveVerdict: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["VerdictEntryInput"];
            };
        };
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Verdict"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is too large. */
            413: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is not application/json. */
            415: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    listVerdictsOfAlarm: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": {
                        items: components["schemas"]["Verdict"][];
                        /** @description Opaque; pass it as cursor for what follows. null at the end. */
                        next: string | null;
                    };
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    listLabelledCases: {
        parameters: {
            query?: {
                /** @description Most items of the answer, 1 to 1000; 100 when absent. */
                limit?: number;
                /** @description The `next` of the answer before. */
                cursor?: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": {
                        items: components["schemas"]["LabelledCase"][];
                        /** @description Opaque; pass it as cursor for what follows. null at the end. */
                        next: string | null;
                    };
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    readPrecision: {
        parameters: {
            query?: {
                /** @description Alarms raised in [from, to). Default: 90 days before to. */
                from?: string;
                /** @description Default: now. */
                to?: string;
                by?: "kind" | "site";
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Precision"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    readAlarmFigures: {
        parameters: {
            query?: {
                /** @description Default: 30 days before to; at most 366. */
                from?: string;
                /** @description Default: now. */
                to?: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["AlarmFigures"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    readAlarmFiguresCsv: {
        parameters: {
            query?: {
                /** @description Default: 30 days before to; at most 366. */
                from?: string;
                /** @description Default: now. */
                to?: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description A header line and rows. */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "text/csv": string;
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    listQuarantine: {
        parameters: {
            query?: {
                /** @description Most items of the answer, 1 to 1000; 100 when absent. */
                limit?: number;
                /** @description The `next` of the answer before. */
                cursor?: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": {
                        items: components["schemas"]["QuarantineEntry"][];
                        /** @description Opaque; pass it as cursor for what follows. null at the end. */
                        next: string | null;
                    };
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    listStorms: {
        parameters: {
            query?: {
                /** @description Storms that touched a unit of this site. */
                site?: string;
                /** @description With to: storms that overlap [from, to). Default: 400 days before to. */
                from?: string;
                /** @description Default: now. */
                to?: string;
                /** @description Most items of the answer, 1 to 1000; 100 when absent. */
                limit?: number;
                /** @description The `next` of the answer before. */
                cursor?: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": {
                        items: components["schemas"]["Storm"][];
                        /** @description Opaque; pass it as cursor for what follows. null at the end. */
                        next: string | null;
                    };
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    readStormUnits: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Where and when it first touched; ids of before late data moved that still lead to it. */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description A line of column names, then a line a unit. */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "text/csv": string;
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    readStorm: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Where and when it first touched; ids of before late data moved that still lead to it. */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["StormReview"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    askWhatIf: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["WhatIfQuestionInput"];
            };
        };
        responses: {
            /** @description Default Response */
            202: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["WhatIf"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The state does not allow it. */
            409: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    getWhatIf: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["WhatIf"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    cancelWhatIf: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["WhatIf"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    listenToEvents: {
        parameters: {
            query?: never;
            header?: {
                /** @description Id of the last event that arrived. */
                "last-event-id"?: string;
            };
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description A stream that does not end by itself. */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "text/event-stream": string;
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    readOnCall: {
        parameters: {
            query?: {
                /** @description The instant that is asked about. Default: now. */
                at?: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["OnCall"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    listShifts: {
        parameters: {
            query?: {
                /** @description Default: now. */
                from?: string;
                /** @description Default: six weeks after from; at most 400 days after it. */
                to?: string;
                /** @description Only this team. */
                team?: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Shifts"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    readRota: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Rota"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    arrangeChange: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Team id of the rota. */
                team: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["RotaChangeInput"];
            };
        };
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["RotaChangeOutcome"];
                };
            };
            /** @description Default Response */
            201: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["RotaChangeOutcome"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The state does not allow it. */
            409: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is too large. */
            413: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is not application/json. */
            415: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    callOffChange: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Team id of the rota. */
                team: string;
                /** @description Id of the cover or swap. */
                id: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["RotaChangeCallOffInput"];
            };
        };
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["RotaChangeOutcome"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The state does not allow it. */
            409: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is too large. */
            413: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is not application/json. */
            415: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    makeCalendarAddress: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            201: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["CalendarAddress"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    takeBackCalendarAddress: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description It holds no longer. */
            204: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    readCalendar: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description The secret of the address, and `.ics`. */
                file: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The calendar. */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "text/calendar": string;
                };
            };
            /** @description It is as If-None-Match has it. */
            304: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    listMyContactPoints: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["ContactPoints"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    addPushDevice: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["PushDeviceInput"];
            };
        };
        responses: {
            /** @description Default Response */
            201: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["ContactPoint"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The state does not allow it. */
            409: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is too large. */
            413: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is not application/json. */
            415: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    readPushKey: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["PushKey"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    removePushDevice: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Removed. */
            204: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The state does not allow it. */
            409: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    readAlerting: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Alerting"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    sendTestPage: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            202: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["TestPage"];
                };
            };
            /** @description Not signed in, or the token, session, name or password is not valid. */
            401: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The state does not allow it. */
            409: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    readPage: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description The last part of the address. */
                link: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Page"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    readPageAlarm: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description The last part of the address. */
                link: string;
                alarm: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["PageAlarmDetail"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    readPageChart: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description The last part of the address. */
                link: string;
                alarm: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["PageChart"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    onMyWayFromPage: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description The last part of the address. */
                link: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["PagePressInput"];
            };
        };
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Page"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The state does not allow it. */
            409: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is too large. */
            413: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is not application/json. */
            415: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    acknowledgeFromPage: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description The last part of the address. */
                link: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["PagePressWithNoteInput"];
            };
        };
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Page"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The state does not allow it. */
            409: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is too large. */
            413: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is not application/json. */
            415: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    handOnFromPage: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description The last part of the address. */
                link: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["PagePressWithNoteInput"];
            };
        };
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Page"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The state does not allow it. */
            409: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is too large. */
            413: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is not application/json. */
            415: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
    shelveFromPage: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description The last part of the address. */
                link: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["PageShelvingInput"];
            };
        };
        responses: {
            /** @description Default Response */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Page"];
                };
            };
            /** @description Something in the request is wrong; `errors` names the path of each. */
            400: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The role does not allow it, or the request lacks the token of its session. */
            403: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Not known here, or not among the sites of the caller. */
            404: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The state does not allow it. */
            409: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is too large. */
            413: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The body is not application/json. */
            415: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description Too many requests; see Retry-After. */
            429: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description The server failed; the reason is in its log. */
            500: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
            /** @description A store does not answer; see Retry-After. */
            503: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["Problem"];
                };
            };
        };
    };
}
