/** The part of psychrolib 1.1.1 that the tests compare with; it ships no types. */
declare module 'psychrolib' {
  interface Psychrolib {
    readonly SI: number;
    SetUnitSystem(unitSystem: number): void;
    GetTDewPointFromRelHum(dryBulbCelsius: number, relativeHumidity: number): number;
    GetHumRatioFromRelHum(
      dryBulbCelsius: number,
      relativeHumidity: number,
      pressurePascals: number,
    ): number;
    GetHumRatioFromVapPres(vapourPressurePascals: number, pressurePascals: number): number;
    GetStandardAtmPressure(altitudeMetres: number): number;
  }
  const psychrolib: Psychrolib;
  export = psychrolib;
}
