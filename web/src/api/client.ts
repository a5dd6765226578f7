// Asks the API. Paths, parameters, bodies and answers are checked against the
// types that are generated from its description.
import type { paths } from "./schema";

type Method = "get" | "post" | "put" | "patch" | "delete";

/** The paths that know a method. */
type PathOf<M extends Method> = { [P in keyof paths]: paths[P] extends Record<M, object> ? P : never }[keyof paths];
type Operation<M extends Method, P extends PathOf<M>> = paths[P] extends Record<M, infer O> ? O : never;

type JSONOf<T> = T extends { content: { "application/json": infer J } } ? J : undefined;
type Answer<O> = O extends { responses: infer R }
  ? { [S in keyof R & (200 | 201 | 202)]: JSONOf<R[S]> }[keyof R & (200 | 201 | 202)]
  : never;
type Body<O> = O extends { requestBody?: infer B } ? JSONOf<NonNullable<B>> : undefined;
type Part<O, K extends "path" | "query"> = O extends { parameters: { [key in K]?: infer Q } } ? Q : undefined;

export interface Asked<O> {
  path?: Part<O, "path">;
  query?: Part<O, "query">;
  body?: Body<O>;
  headers?: Record<string, string>;
  signal?: AbortSignal;
}

/** What went wrong, in one sentence that may be shown. Status 0: no answer at all. */
export class APIError extends Error {
  constructor(
    readonly status: number,
    message: string,
  ) {
    super(message);
    this.name = "APIError";
  }
}

/** Told to the page when the server asks for a passphrase again. */
export const signedOut = "tenoff:signed-out";

export const noAnswer = "tenoff does not answer. Is it still running?";

/** Fills {names} of a path and adds the query. */
export function address(template: string, path: object = {}, query: object = {}): string {
  const names = path as Record<string, unknown>;
  const filled = template.replace(/\{(\w+)\}/g, (_, name: string) => encodeURIComponent(String(names[name])));
  const asked = new URLSearchParams();
  for (const [name, value] of Object.entries(query)) {
    if (value !== undefined && value !== "") asked.set(name, String(value));
  }
  const text = asked.toString();
  return text ? `${filled}?${text}` : filled;
}

export async function ask<M extends Method, P extends PathOf<M>>(
  method: M,
  path: P,
  asked: Asked<Operation<M, P>> = {},
): Promise<Answer<Operation<M, P>>> {
  const headers: Record<string, string> = { Accept: "application/json", ...asked.headers };
  const init: RequestInit = { method: method.toUpperCase(), headers };
  if (asked.body !== undefined) {
    init.body = JSON.stringify(asked.body);
    headers["Content-Type"] = "application/json";
  }
  if (asked.signal) init.signal = asked.signal;
  let response: Response;
  try {
    response = await fetch(address(path, asked.path as object | undefined, asked.query as object | undefined), init);
  } catch (cause) {
    if (asked.signal?.aborted) throw cause;
    throw new APIError(0, noAnswer);
  }
  const text = await response.text();
  if (response.status === 401 && path !== "/api/session") dispatchEvent(new Event(signedOut));
  if (!response.ok) throw new APIError(response.status, problemIn(text));
  return (text === "" ? undefined : JSON.parse(text)) as Answer<Operation<M, P>>;
}

/** The sentence of a problem document. */
export function problemIn(text: string): string {
  try {
    const problem = JSON.parse(text) as { detail?: string; title?: string };
    return problem.detail || problem.title || "Something went wrong.";
  } catch {
    return text.length > 0 && text.length < 300 ? text : "Something went wrong.";
  }
}

/** What may be shown of anything that was thrown. */
export function sentenceOf(failure: unknown): string {
  return failure instanceof APIError ? failure.message : "Something went wrong on this page. Loading it again may help.";
}
