import { Component, h, type ComponentType, type VNode } from "preact";

/** A component that is painted again only when its properties differ by `alike`. */
export function memo<P extends object>(paint: (props: P) => VNode | null, alike: (a: P, b: P) => boolean): ComponentType<P> {
  return class extends Component<P> {
    override shouldComponentUpdate(next: P): boolean {
      return !alike(this.props as P, next);
    }
    override render() {
      return h(paint as ComponentType<P>, this.props as P);
    }
  };
}
