/** What a run is called where one word must do: its name, or its id where that is damaged. */
export const runLabel = (id: string, name: string): string => name.replace(/\p{Cc}+/gu, ' ').trim() || id;
