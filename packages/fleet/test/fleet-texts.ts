/** Fleet files for tests. */

export const HARBOUR_MALL = `sites:
  - id: harbour-mall
    name: Harbour Mall
    timezone: America/Halifax
    latitude: 44.65
    longitude: -63.57
    units:
      - id: rtu-01
        name: RTU-1, food court
        supply: { volts: 600, hertz: 60, grounding: solid-wye, mca: 38, mop: 50 }       # amps
        fuses: { class: RK5, amps: 50 }
        contactors:
          - { name: C1, load: compressor 1, poles: 3, fla: 18 }
          - { name: C2, load: fans, poles: 3, fla: 6 }
        drive: false
        access: Ladder C, hatch key at security, upper roof
        roof: { x: 12, y: 5 }
        node: { supply: battery }
        limits: { leakageUrgent: 10 }
`;

/** The least that a fleet file may state. */
export const LEAST = `sites:
  - id: harbour-mall
    units:
      - id: rtu-01
        supply: { volts: 600 }
`;
