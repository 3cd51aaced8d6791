/** The part of jStat 1.9.6 that the tests compare with; it ships no types. */
declare module 'jstat' {
  interface Distribution {
    cdf(x: number, ...parameters: number[]): number;
    inv(p: number, ...parameters: number[]): number;
  }
  interface JStat {
    readonly beta: Distribution;
    readonly studentt: Distribution;
    gammaln(x: number): number;
  }
  const library: { readonly jStat: JStat };
  export = library;
}
