"""Cases of the rules on radio, mains and roles: what trips each, where, and what passes."""

from __future__ import annotations

from support.rule_cases import IN_JAPAN, LAST, Case, country, radio, stop_radio
from support.rule_trips import field, line

CASES = [
    # --- radio
    Case(
        "radio-outside-stop-ranges",
        (radio("470-516"), stop_radio("606.5-613.5; 863-865")),
        ("Gear", LAST, "Radio"),
        (radio("470-516"), stop_radio("470-694")),
        ("470-516 MHz", "Lakeside", "regulator"),
    ),
    Case(
        "radio-partly-outside-stop-ranges",
        (radio("606.5-630"), stop_radio("606.5-613.5")),
        ("Gear", LAST, "Radio"),
        (radio("606.5-630"), stop_radio("470-612; 612-694")),
        ("only partly", "regulator"),
    ),
    Case(
        "radio-ranges-unknown",
        (radio("470-516"),),
        ("Stops", 0, "Stop"),  # the sheet has no such column: the row's first cell
        (),
        ("no Radio ranges",),
    ),
    Case(
        "radio-ranges-unknown",
        (radio("470-516"), stop_radio("470-694", None)),
        ("Stops", 0, "Radio source"),
        (radio("470-516"), stop_radio("470-694")),
        ("without a source",),
    ),
    Case(
        "radio-range-closed",
        (radio("620"), stop_radio("470-694"), country("US")),  # fcc.gov: from 13 July 2020
        ("Gear", LAST, "Radio"),
        (radio("655"), stop_radio("470-694"), country("US")),
        ("617-652 MHz", "regulator"),
    ),
    Case(
        "radio-range-closed",
        (radio("700-720"), stop_radio("470-806"), country("US")),  # fcc.gov: from 12 June 2010
        ("Gear", LAST, "Radio"),
        (radio("620"), stop_radio("470-694"), country("DE")),
        ("698-806 MHz",),
    ),
    Case(
        "radio-licence-needed",
        (radio("655"), stop_radio("470-694"), country("US")),
        ("Gear", LAST, "Radio"),
        (radio("615"), stop_radio("470-694"), country("US")),  # fcc.gov: unlicensed 614-616
        ("653-657 MHz", "licensed users"),
    ),
    Case(
        "radio-licence-needed",
        (radio("606.5-613.5"), stop_radio("606.5-613.5"), country("GB")),  # channel 38
        ("Gear", LAST, "Radio"),
        (radio("863.1"), stop_radio("863-865"), country("GB")),
    ),
    Case(
        "radio-devices-overlap",
        (radio("606.5-613.5"), radio("610-620", "OTHER"), stop_radio("470-694")),
        ("Gear", -2, "Radio"),
        (radio("470-516"), radio("863-865", "OTHER"), stop_radio("470-694; 863-865")),
    ),
    Case(
        "radio-same-frequency",
        (radio("863.1"), radio("863.1", "OTHER"), stop_radio("863-865")),
        ("Gear", LAST, "Radio"),
        (radio("863.1"), radio("863.7", "OTHER"), stop_radio("863-865")),
        ("2 units", "863.1 MHz"),
    ),
    Case(
        "radio-same-frequency",
        (radio("863.1", Quantity=2), stop_radio("863-865")),
        ("Gear", LAST, "Radio"),
        (
            radio("863.1"),
            radio("863.1", "OTHER", Description="Receiver"),
            stop_radio("863-865"),
        ),
    ),
    Case(
        "radio-intermodulation",
        # 2 x 614.4 - 614.0 = 614.8
        (radio("614.0"), radio("614.4", "B"), radio("614.8", "C"), stop_radio("470-694")),
        ("Gear", -3, "Radio"),  # and 2 x 614.4 - 614.8 = 614.0
        # Ofcom's set, restated at dorsetpahire.co.uk: these can be used together
        (
            radio("863.1"),
            radio("863.7", "B"),
            radio("864.1", "C"),
            radio("864.9", "D"),
            stop_radio("863-865"),
        ),
        ("614 MHz", "0 kHz", "1 more"),
    ),
    # --- mains: two lists of 2017
    Case(
        "mains-voltage-mismatch",
        (line(Mains="220-240 V 50/60 Hz", Serials="A1"), IN_JAPAN),  # 100 V
        ("Gear", LAST, "Mains"),
        (line(Mains="100-240 V 50/60 Hz", Serials="A1"), IN_JAPAN),
        ("100 V", "step-up transformer", "qualified electrician"),
    ),
    Case(
        "mains-voltage-mismatch",
        (line(Mains="100-120 V 50/60 Hz", Serials="A1"),),  # 230 V
        ("Gear", LAST, "Mains"),
        (line(Mains="220 V", Serials="A1"),),  # within 10 % of 230 V
        ("230 V", "step-down transformer"),
    ),
    Case(
        "mains-voltage-by-region",
        (line(Mains="220 V", Serials="A1"), country("BR")),  # 127 and 220 V
        ("Gear", LAST, "Mains"),
        (line(Mains="100-240 V", Serials="A1"), country("BR")),
        ("127/220 V",),
    ),
    Case(
        "mains-frequency-mismatch",
        (line(Mains="100 V 60 Hz", Serials="A1"), IN_JAPAN),  # 50 and 60 Hz by region
        ("Gear", LAST, "Mains"),
        (line(Mains="100 V 50/60 Hz", Serials="A1"), IN_JAPAN),
        ("50/60 Hz",),
    ),
    Case(
        "mains-frequency-mismatch",
        (line(Mains="230 V 50 Hz", Serials="A1"), country("KR")),  # 220 V, 60 Hz
        ("Gear", LAST, "Mains"),
        (line(Mains="230 V 50 Hz", Serials="A1"),),
        ("60 Hz",),
    ),
    Case(
        "mains-frequency-not-stated",
        (line(Mains="230 V", Serials="A1"), country("KR")),  # 220 V, 60 Hz
        ("Gear", LAST, "Mains"),
        (line(Mains="230 V", Serials="A1"),),  # 50 Hz as at home
        ("Lakeside (60 Hz)", "home has 50 Hz"),
    ),
    Case(
        "mains-frequency-not-stated",
        (line(Mains="100-240 V", Serials="A1"), IN_JAPAN),
        ("Gear", LAST, "Mains"),
        (line(Mains="100-240 V 50/60 Hz", Serials="A1"), IN_JAPAN),
        ("50/60 Hz",),
    ),
    Case(
        "plug-needs-adapter",
        (line(Plug="G"),),  # sockets C and J
        ("Gear", LAST, "Plug"),
        (line(Plug="C"),),
        ("C J: G to J adapter", "adapters"),
    ),
    Case("plug-needs-adapter", (line(Plug="F"),), ("Gear", LAST, "Plug"), (line(Plug="J"),)),
    Case(
        "mains-not-understood",
        (line(Mains="yes", Serials="A1"),),
        ("Gear", LAST, "Mains"),
        (line(Mains="230V~50Hz", Serials="A1"),),
    ),
    Case(
        "mains-not-understood",
        (line(Plug="euro"),),
        ("Gear", LAST, "Plug"),
        (line(Plug="type E/F"),),
    ),
    Case(
        "mains-of-country-unknown",
        (line(Mains="230 V", Serials="A1"), country("GL")),
        ("Stops", 0, "Country"),
        (line(Mains="230 V", Serials="A1"), country("PT")),
        ("GL",),
    ),
    # --- roles
    Case(
        "role-without-spare",
        (field("One case lost", "yes"), line(Role="playback", Role_needs=1)),
        ("Gear", LAST, "Role"),
        (field("One case lost", "yes"), line(Role="playback", Role_needs=1, Quantity=2)),
        ("playback", "1 unit", "Lakeside"),
    ),
]
