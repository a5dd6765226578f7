import { keyCaps } from "../words/key";

/** A key as it is printed on a keyboard. */
export function Keys({ name }: { name: string }) {
  return <>{keyCaps(name).map((cap, i) => <>{i > 0 && " "}<kbd>{cap}</kbd></>)}</>;
}
