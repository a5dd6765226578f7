// A list that comes in pages, of which some may be empty with more behind them: the
// server looks at so many reps a time, however few of them fit.

export interface Page<Row> {
  reps: readonly Row[];
  next?: string;
}

/** The page at the cursor, or the first behind it that has anything on it. */
export async function pageWithRows<Row>(get: (cursor: string) => Promise<Page<Row>>, cursor: string): Promise<Page<Row>> {
  for (;;) {
    const page = await get(cursor);
    if (page.reps.length > 0 || !page.next) return page;
    cursor = page.next;
  }
}
