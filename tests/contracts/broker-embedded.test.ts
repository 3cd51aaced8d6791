import { describeBroker } from './broker-contract.ts';
import { embeddedPlace } from './broker-places.ts';

describeBroker('the embedded broker', embeddedPlace);
