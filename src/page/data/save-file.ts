/** Hands something to the person as a file. */
export function saveFile(content: Blob, fileName: string): void {
  const url = URL.createObjectURL(content);
  const link = document.createElement('a');
  link.href = url;
  link.download = fileName;
  link.click();
  URL.revokeObjectURL(url);
}

export function saveText(text: string, fileName: string, type: string): void {
  saveFile(new Blob([text], { type }), fileName);
}

/** A name in letters that every file system takes: "What I did, twice" → "what-i-did-twice". */
export function fileWords(name: string): string {
  return (name.toLowerCase().match(/[\p{L}\p{N}]+/gu) ?? []).join('-');
}
