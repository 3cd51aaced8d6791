import { type LevelRule, levelIn, type RuleContext, type SignalParameters } from './level-rule.ts';

/** One limit a step for every unit, the same whether it runs or rests. */
export interface FixedParameters extends SignalParameters {}

export function fixedLimits(parameters: FixedParameters, context: RuleContext): LevelRule {
  const { routine, urgent } = parameters;
  const emergency = Math.max(context.emergencyLimit, urgent);
  return { level: (_atMs, _state, value) => levelIn({ routine, urgent, emergency }, value) };
}
