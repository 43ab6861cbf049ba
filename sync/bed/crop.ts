/** What two spellings of one crop share: the twin of CropKey on the Go side. Compared and never shown. */
export function cropKey(name: string): string {
  return name
    .normalize('NFD')
    .toLowerCase()
    .replace(/\p{M}/gu, '')
    .replace(/[\u2018\u2019\u02bc\u00b4`\u2032]/g, "'")
    .replace(/ς/g, 'σ')
    .replace(/\s+/g, ' ')
    .trim();
}
