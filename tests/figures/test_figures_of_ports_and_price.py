"""What ports advertise and how they are interrupted, and price."""

import pytest

from lidoff.figures.figure import Corner, FigureInput

PD, INTERRUPTION, PRICE = "pd_power_w", "longest_interruption_ms", "price_per_watt"
ADVERTISED = "ports[0].advertised"


def test_largest_fixed_offer(charger):
    offer = charger.one(PD)
    assert offer.value == pytest.approx(65) and offer.of == Corner(port="C1")
    field = "ports[0].advertised[0].words[2]"
    assert offer.inputs == (FigureInput(field, 20.0, "V"), FigureInput(field, 3.25, "A"))


def test_programmable_objects_do_not_count(charger):
    # 0xC9A42164: PPS 3.3 to 21 V, 5 A, power limited: 105 W that the source cannot give
    pps = charger.one(PD, {ADVERTISED: [{"message": "spr", "words": ["0x0801912C", "0xC9A42164"]}]})
    assert pps.value == pytest.approx(15)


def test_largest_of_all_states_and_messages(charger, inputs_of):
    # 0x0008C1F4: fixed 28 V 5 A behind two empty positions
    captures = [
        {"alone": False, "beside": ["A1"], "message": "spr", "words": ["0x0801912C", "0x000640E1"]},
        {"alone": True, "message": "epr", "words": ["0x0801912C", "0x00000000", "0x0008C1F4"]},
        {"message": "spr", "words": ["0x0801912C", "0x0004B1F4"], "sample": "s2"},
    ]
    offer = charger.one(PD, {ADVERTISED: captures})
    assert offer.value == pytest.approx(140) and set(inputs_of(offer)) == {"ports[0].advertised[1].words[2]"}


def test_one_figure_for_each_port_that_can_speak_usb_pd(charger):
    second = {"ports[1]": {"id": "C2", "connector": "usb-c"}, "ports[2]": {"id": "A1", "connector": "usb-a"}}
    figures = charger.all(PD, second)
    assert [(one.of.port, one.absent) for one in figures] == [
        ("C1", None),
        ("C2", "what this port advertises was not captured"),
    ]


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({ADVERTISED: None}, "what this port advertises was not captured"),
        ({ADVERTISED: []}, "this port was asked and advertised nothing"),
        (
            {ADVERTISED: [{"message": "spr", "words": ["0xC9A42164"]}]},
            "this port advertised no fixed object with any power",
        ),
        (
            {ADVERTISED: [{"message": "epr", "words": ["0x00000000"]}]},
            "this port advertised no fixed object with any power",
        ),
        ({ADVERTISED: None, "ports[0].connector": "usb-a"}, "no port has a USB Type-C connector"),
    ],
)
def test_no_offer(charger, changes, reason):
    figure = charger.one(PD, changes)
    assert figure.value is None and figure.absent == reason


def test_longest_interruption_of_each_port(charger, inputs_of):
    events = [
        {"action": "plug A1", "victim": "C1", "interrupted_ms": 640},
        {"action": "unplug A1", "victim": "C1", "interrupted_ms": 410},
        {"action": "plug C1", "victim": "A1", "interrupted_ms": 0},
        {"action": "plug C1", "victim": "A1", "power_after_w": 12},
        {"action": "plug A1", "victim": "C1", "interrupted_ms": 5000, "sample": "s2"},
    ]
    figures = charger.all(INTERRUPTION, {"measured.events": events})
    assert [(one.of.port, one.value) for one in figures] == [("C1", pytest.approx(640)), ("A1", 0)]
    assert inputs_of(figures[0]) == {"measured.events[0].interrupted_ms": 640, "measured.events[1].interrupted_ms": 410}


def test_uncertainty_of_an_interruption(charger):
    clock = {
        "instruments": [{"id": "t", "quantity": "time", "digits": 1, "digit_size": 0.01}],
        "measured.events[0].instrument": "t",
    }
    # by hand: 2 x 10 ms / root 3
    assert charger.one(INTERRUPTION, clock).expanded_uncertainty == pytest.approx(11.547, abs=1e-3)


@pytest.mark.parametrize("events", [[], [{"action": "plug C1", "victim": "C1", "power_after_w": 12}]])
def test_no_interruption(charger, events):
    figure = charger.one(INTERRUPTION, {"measured.events": events})
    assert figure.value is None and figure.absent == "no interruption of a port was looked for"


def test_price_in_its_own_currency(charger, inputs_of):
    price = charger.one(PRICE)
    assert price.value == pytest.approx(0.6) and price.unit == "EUR/W"
    assert inputs_of(price) == {"samples[0].price.amount": 39, "product.rated_power_w": 65}


def test_price_is_that_of_the_first_unit_bought_new(charger, inputs_of):
    samples = [
        {"id": "s1", "source": "second-hand", "price": {"amount": 10, "currency": "EUR"}},
        {"id": "s2", "source": "retail", "condition": "used", "price": {"amount": 11, "currency": "EUR"}},
        {"id": "s3", "source": "maker", "price": {"amount": 0, "currency": "EUR"}},
        {"id": "s4", "source": "retail", "price": {"amount": 52, "currency": "GBP"}},
    ]
    price = charger.one(PRICE, {"samples": samples})
    assert price.value == pytest.approx(0.8) and price.unit == "GBP/W" and "samples[3].price.amount" in inputs_of(price)
    assert charger.one(PRICE, {"samples": samples[:2]}).absent == "the recorded price is that of a used unit"
    assert charger.one(PRICE, {"samples": samples[:3]}).absent == "nothing was paid for the unit"


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"samples": []}, "no price is recorded"),
        ({"samples[0].price": None}, "no price is recorded"),
        ({"product.rated_power_w": None}, "no rated power is recorded"),
    ],
)
def test_no_price(charger, changes, reason):
    figure = charger.one(PRICE, changes)
    assert figure.value is None and figure.absent == reason
