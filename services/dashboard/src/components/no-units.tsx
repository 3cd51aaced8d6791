import type { VNode } from 'preact';

/** For a server whose fleet file has no unit that this person may read. */
export function NoUnits(): VNode {
  return (
    <section class="empty">
      <h1>No units yet</h1>
      <p>
        Units come from the fleet file that the server is started with (
        <code>lineside serve --fleet FILE</code>). Name at least a site, a unit and its supply volts
        there, and start the server again.
      </p>
      <p>If you were invited to read certain sites only, ask the service office which ones.</p>
      <HowToConnect site="your-site" unit="your-unit" />
    </section>
  );
}

/** The two steps that bring a node's readings here. */
export function HowToConnect(props: { readonly site: string; readonly unit: string }): VNode {
  const { site, unit } = props;
  return (
    <div class="connect">
      <p>
        <strong>Connect a node</strong>
      </p>
      <ol>
        <li>
          Make a name and password for it on the server:
          <code class="line">
            npx lineside node create {site} {unit} --data DIR
          </code>
        </li>
        <li>
          Let the node publish a SenML pack over MQTT, QoS 1, to
          <code class="line">
            lineside/{site}/{unit}/telemetry
          </code>
          for example
          <code class="line">
            {'[{"bn":"node:","n":"rh","u":"%RH","v":61.5},{"n":"leak","u":"A","v":0.0012}]'}
          </code>
        </li>
      </ol>
      <p>Its first reading appears here by itself, usually within seconds.</p>
    </div>
  );
}
