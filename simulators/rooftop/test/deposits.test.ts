import { describe, expect, it } from 'vitest';
import { DEPOSIT_KIND_NAMES, DEPOSIT_KINDS } from '../src/world/deposit-kinds.ts';
import { balancedWetness, followWetness } from '../src/world/deposits.ts';

const dry = { humidityPercent: 0, filmGramsPerSquareMetre: 0, celsius: 15 };

describe('a deposit', () => {
  it.each(DEPOSIT_KIND_NAMES)('of %s is dry at its wetting point and wetter above it', (name) => {
    const kind = DEPOSIT_KINDS[name];
    const at = (humidityPercent: number): number =>
      balancedWetness({ ...dry, humidityPercent }, kind.wettingPointPercent, kind);
    expect(at(kind.wettingPointPercent)).toBe(0);
    for (let percent = kind.wettingPointPercent; percent < 100; percent += 1) {
      expect(at(percent + 1)).toBeGreaterThan(at(percent));
    }
    expect(at(100)).toBeCloseTo(1, 12);
    const flooded = { ...dry, humidityPercent: 100, filmGramsPerSquareMetre: 60 };
    expect(balancedWetness(flooded, kind.wettingPointPercent, kind)).toBeGreaterThan(2);
  });

  it('of chloride wets below 75 % RH and below 0 C, where dust does neither', () => {
    const { 'chloride-salt': chloride, 'mineral-dust': dust } = DEPOSIT_KINDS;
    const damp = { ...dry, humidityPercent: 70 };
    const frost = { ...dry, humidityPercent: 90, celsius: -5 };
    expect(balancedWetness(damp, chloride.wettingPointPercent, chloride)).toBeGreaterThan(0.05);
    expect(balancedWetness(frost, chloride.wettingPointPercent, chloride)).toBeGreaterThan(0.3);
    expect(balancedWetness(damp, dust.wettingPointPercent, dust)).toBe(0);
    expect(balancedWetness(frost, dust.wettingPointPercent, dust)).toBe(0);
  });

  it('under grease takes hours to wet', () => {
    const afterAnHour = (name: (typeof DEPOSIT_KIND_NAMES)[number]): number => {
      let wetness = 0;
      for (let minute = 0; minute < 60; minute += 1) {
        wetness = followWetness(wetness, 1, 60, DEPOSIT_KINDS[name]);
      }
      return wetness;
    };
    expect(afterAnHour('mineral-dust')).toBeGreaterThan(0.9);
    expect(afterAnHour('grease-film')).toBeLessThan(0.4);
  });
});
