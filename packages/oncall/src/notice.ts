/** Something that somebody should look at; it keeps no rota from working. */
export interface Notice {
  /** `teams[0].changes[3]`, or `sites[2]` of the list that was asked about. */
  readonly place: string;
  /** What is the matter, and what to do. */
  readonly words: string;
}
