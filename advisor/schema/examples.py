"""An example for every field, shown beside its description and offered when it is completed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

_META: Final = {
    "format": 1,
    "id": "driveline",
    "version": "0.1.0",
    "title": "Driveline complaints after universal-joint work",
    "none_of_the_listed": 0.06,
    "pair_factor": 0.2,
    "escalation_minutes": 240,
    "opening": ["safety-signs", "complaint-kind"],
}
_CONDITION: Final = {"shaft-layout": "two-piece"}
_RATES: Final = {"usual": "1 in 10", "with": {"rings-too-thin": "8 in 10"}}
_QUESTION: Final = {
    "ask": "Is anything stuck to the tube, such as undercoating, mud or tape?",
    "customer": "Was the underside coated lately?",
    "why": "A thin patch on one side is enough to unbalance the shaft.",
    "how": "Look along the whole tube, and turn it by hand.",
    "ask_if": _CONDITION,
    "concern": {"about": "since", "says": "The underside was coated before it began"},
    "lasts": "part",
    "place": "lift",
    "minutes": 3,
    "cautions": ["hand-turning"],
}
_OPTIONS: Final = {"one-piece": "One piece", "two-piece": "Two pieces with a centre support"}
_FINDING: Final = {
    "says": "Something sticks to the tube",
    "source": "judgement",
    "observation": "tube-surface",
    "why": "A patch on one side is the unbalance itself.",
    "stop_driving": "loose-joint",
}
_BANDS: Final = {
    "low": {"below": "0 mm", "usual": 0.1},
    "high": {"above": "0 mm", "usual": 0.9},
}
_SIZES: Final = ["-2 deg", "-1 deg", "1 deg", "2 deg"]
_PLATES: Final = ["3 mm", "6 mm"]
_SLOPES: Final = ["-3.0 deg", "-5.6 deg", "-1.4 deg"]
_BOX: Final = {"thickness": "1.50 mm", "uncertainty": "0.005 mm", "count": 4, "coated": True}
_GAUGE: Final = {"step": "0.01 mm", "limit": "0.02 mm"}
_OWN_MINUTES: Final = {"places": {"lift": 8}, "tests": {"inspect-tube": 10}, "escalation": 240}
_MOMENT: Final = "2024-05-01T09:30:00Z"
_RING_USE: Final = {
    "use": "3f9c2a7d51e0",
    "stock": "rings.yaml",
    "box": "tray-1",
    "count": 2,
    "thickness": "1.54 mm",
}
_TAKEN: Final = {"use": "3f9c2a7d51e0", "case": "pickup-shake", "box": "tray-1", "count": 2}
_PROOF: Final = {"step": "Drive the same road at the same speed.", "done": True}
_NOTED: Final = {"what": "thickness of the rings fitted", "words": "1.54 mm both"}
_CLOSING: Final = {"complaint_gone": True, "work": "Two equal rings fitted.", "minutes": 50}
_COMEBACK: Final = {"case": "pickup-shake", "ever_right": "yes"}
_NO_LONGER: Final = {"answers": [{"question": "mud-on-tube", "answer": "yes"}]}
_AXIS: Final = {"span": "fork-span", "width": "cross-width"}
_REMEDY: Final = {"minutes": 45, "steps": ["Fit rings of the thickness shown."]}
_VERIFY: Final = {"minutes": 20, "steps": ["Drive the same road at the same speed and compare."]}
_EXPECT: Final = {"first": "dirt-on-tube", "at_least": {"dirt-on-tube": 0.5}}
_ANSWERS: Final = {"complaint-kind": "shake", "runout-middle": "8 thou"}

_RETIRED: Final = {
    "replaced_by": "dirt-on-tube",
    "retired_in": "0.2.0",
    "reason": "renamed, since it is not always mud",
}

# section of a file: what it holds, and an example
_RATE_CHANGE: Final = {"old": 0.08, "new": 0.11, "cases": 212, "low": 0.07, "high": 0.15}
_RATE_CHANGES: Final = {"usual": _RATE_CHANGE, "with": {"dirt-on-tube": _RATE_CHANGE}}
_COMMONNESS_CHANGE: Final = {"old": 2, "new": 2.6, "cases": 31, "low": 1.8, "high": 3.6}
SECTIONS: Final[Mapping[str, tuple[str, Any]]] = {
    "rulebook": (
        "what the rulebook as a whole says of itself; stands once in the folder",
        _META,
    ),
    "places": (
        "place id: where tests are done",
        {"lift": {"name": "On the lift", "minutes": 5}},
    ),
    "cautions": (
        "caution id: a safety text, shown before the step that needs it",
        {"hot-parts": {"text": "Let brakes and exhaust cool.", "source": "judgement"}},
    ),
    "questions": (
        "question id: one thing asked or measured",
        {"tube-fouled": {"ask": _QUESTION["ask"], "kind": "yes-no", "why": _QUESTION["why"]}},
    ),
    "tests": (
        "test id: work in one place that answers one or more questions",
        {
            "inspect-tube": {
                "name": "Look over and feel the tube",
                "place": "lift",
                "minutes": 6,
                "answers": ["tube-fouled"],
            }
        },
    ),
    "gauges": (
        "gauge id: a measuring tool, with its step and its error limit",
        {"caliper": {"name": "Digital caliper", **_GAUGE, "source": "common practice"}},
    ),
    "computed": (
        "fact id: a fact worked out from others by a function",
        {
            "ring-difference": {
                "name": "How much thicker the first ring is",
                "function": "difference",
                "inputs": {"first": "ring-1-thickness", "second": "ring-2-thickness"},
                "unit": "mm",
            }
        },
    ),
    "findings": (
        "finding id: something true, false or unknown that speaks for or against causes",
        {
            "tube-has-stuff": {
                "says": _FINDING["says"],
                "when": {"tube-fouled": True},
                **_RATES,
                "why": _FINDING["why"],
                "source": "judgement",
            }
        },
    ),
    "causes": (
        "cause id: a fault that explains the complaint, with its remedy",
        {
            "dirt-on-tube": {
                "name": "Undercoating, mud or tape on the tube",
                "what": "Stuff on one side of the tube puts it out of balance.",
                "commonness": 2,
                "remedy": {"minutes": 15, "steps": ["Clean the whole tube."]},
                "verify": _VERIFY,
                "source": "judgement",
            }
        },
    ),
    "retired": (
        "ids that are no longer used, by section: what took the place of each, if anything",
        {"causes": {"mud-on-tube": _RETIRED}},
    ),
    "examples": (
        "example id: a vehicle with its answers, and what must come out",
        {
            "van-tube-with-undercoating": {
                "says": "A van that shakes since its floor was coated",
                "answers": _ANSWERS,
                "expect": _EXPECT,
            }
        },
    ),
}

# model: field: an example
EXAMPLES: Final[Mapping[str, Mapping[str, Any]]] = {
    "MetaModel": _META,
    "PlaceModel": {
        "name": "On the road",
        "minutes": 15,
        "driving": True,
        "cautions": ["road-test"],
    },
    "CautionModel": {
        "text": "Use the maker's lifting points and let the locks engage.",
        "source": "common practice, no source",
    },
    "GaugeModel": {"name": "Digital caliper", **_GAUGE, "source": "common practice, no source"},
    "GaugeChange": _GAUGE,
    "ConcernModel": {
        "about": "where",
        "says": "It is felt most {answer}",
        "options": {"heard-only": "It is only heard"},
    },
    "QuestionModel": {**_QUESTION, "kind": "yes-no"},
    "YesNoQuestion": {**_QUESTION, "kind": "yes-no"},
    "ChoiceQuestion": {**_QUESTION, "kind": "choice", "options": _OPTIONS},
    "ChoicesQuestion": {
        **_QUESTION,
        "kind": "choices",
        "options": {"shake": "Shake that is felt", "boom": "Boom that is heard", "none": "Neither"},
        "alone": "none",
    },
    "NumberQuestion": {
        **_QUESTION,
        "kind": "number",
        "unit": "mm",
        "gauge": "caliper",
        "range": ["0.5 mm", "4 mm"],
    },
    "TextQuestion": {**_QUESTION, "kind": "text"},
    "TestModel": {
        "name": "Measure both retaining rings with a micrometer",
        "place": "bench",
        "minutes": 5,
        "answers": ["ring-1-thickness", "ring-2-thickness"],
        "how": "Measure each ring at three places and take the middle one.",
        "cautions": ["ring-spring"],
    },
    "ComputedModel": {
        "name": "End play of the cross in the fork",
        "function": "ring-stack-end-play",
        "inputs": {
            "span": "fork-span",
            "width": "cross-width",
            "ring_1": "ring-1-thickness",
            "ring_2": "ring-2-thickness",
        },
        "unit": "mm",
    },
    "FindingModel": _FINDING,
    "YesNoFinding": {**_FINDING, **_RATES, "when": {"tube-fouled": True}},
    "ChoiceFinding": {
        **_FINDING,
        "choice": "shaft-layout",
        "values": {"one-piece": {"usual": 0.6}, "anything-else": {"usual": 0.4}},
    },
    "BandsFinding": {**_FINDING, "bands": "joint-end-play", "values": _BANDS},
    "RatesModel": _RATES,
    "BandModel": {
        **_RATES,
        "below": "0 mm",
        "between": ["0 mm", "0.05 mm"],
        "above": "0.05 mm",
    },
    "CauseModel": {
        "name": "Retaining rings too thin, so the cross can shift",
        "what": "The cross moves in the fork, and the shaft runs off its middle.",
        "commonness": 3,
        "applies_if": _CONDITION,
        "confirm": "check-end-play",
        "remedy": _REMEDY,
        "verify": _VERIFY,
        "record": ["thickness of the rings fitted"],
        "source": "judgement",
    },
    "RetiredModel": _RETIRED,
    "RemedyModel": {
        **_REMEDY,
        "cautions": ["ring-spring"],
        "shows": ["ring-thickness-wanted"],
        "rings": {"axes": [_AXIS], "limit": "0.05 mm", "largest_offset": "0.01 mm"},
    },
    "VerifyModel": {**_VERIFY, "place": "road"},
    "RingsModel": {
        "axes": [_AXIS],
        "material": "fork-material",
        "limit": "0.05 mm",
        "largest_offset": "0.01 mm",
        "style": "outside",
    },
    "RingAxisModel": {
        **_AXIS,
        "old_ring_1": "old-ring-1-thickness",
        "old_ring_2": "old-ring-2-thickness",
        "old_end_play": "old-end-play",
        "old_width": "old-cross-width",
        "new_width": "cross-width",
    },
    "ExampleModel": {
        "says": "A van that shakes since its floor was coated, with a patch on the tube",
        "held_back": True,
        "known_gap": "the answers cannot tell the two causes apart",
        "answers": _ANSWERS,
        "expect": _EXPECT,
    },
    "ExpectModel": {
        "first": "dirt-on-tube",
        "pair": ["dirt-on-tube", "wheel-unbalance"],
        "first_three": ["dirt-on-tube", "tube-dented"],
        "not_first": ["wheel-unbalance"],
        "near_miss_of": "wheel-unbalance",
        "at_least": {"dirt-on-tube": 0.5},
        "at_most": {"none-of-the-listed": 0.1},
        "too_close_to_call": False,
        "findings": {"tube-has-stuff": True},
        "stops": ["loose-joint"],
    },
    "CaseFile": {
        "format": 1,
        "id": "pickup-shake",
        "rulebook": {"id": "driveline", "version": "0.1.0"},
        "vehicle": "Pickup, rear drive, shaft of one piece",
        "complaint": "It has shaken ever since the joint was done.",
        "answers": _ANSWERS,
        "repairs": [{"cause": "wheel-unbalance", "at": _MOMENT}],
        "minutes_spent": 35,
        "place": "lift",
        "put_off": ["measure-runout"],
        "outcome": {"causes": ["rings-too-thin"], "note": "End play 0.11 mm by dial indicator."},
        "closing": _CLOSING,
        "comeback_of": _COMEBACK,
        "retired": _NO_LONGER,
    },
    "NoLonger": {
        **_NO_LONGER,
        "after": [{"question": "mud-on-tube", "answer": "no"}],
        "repairs": [{"cause": "tube-paint", "at": _MOMENT}],
        "causes": ["tube-paint"],
    },
    "RulebookRef": {"id": "driveline", "version": "0.1.0"},
    "Record": {
        "question": "ring-1-thickness",
        "answer": "57.5 thou",
        "taken_back": True,
        "at": _MOMENT,
        "by": "technician",
        "who": "RB",
        "minutes": 20,
        "from_case": "pickup-shake",
    },
    "Repair": {
        "cause": "wheel-unbalance",
        "answers_before": 12,
        "at": _MOMENT,
        "by": "technician",
        "who": "RB",
        "minutes": 50,
    },
    "Closing": {
        **_CLOSING,
        "parts": ["one joint"],
        "rings": [_RING_USE],
        "after": [{"question": "joint-end-play", "answer": "0.03 mm"}],
        "proof": [_PROOF],
        "noted": [_NOTED],
        "at": _MOMENT,
        "by": "technician",
        "who": "RB",
    },
    "RingUse": {**_RING_USE, "booked": True, "at": _MOMENT},
    "Reading": {"question": "joint-end-play", "answer": "0.03 mm", "at": _MOMENT},
    "ProofStep": {**_PROOF, "result": "quiet"},
    "Noted": _NOTED,
    "Comeback": {
        **_COMEBACK,
        "causes": ["rings-too-thin"],
        "complaint": "It shakes in the seat at sixty miles an hour.",
        "work": "Two equal rings fitted.",
        "closed_at": _MOMENT,
    },
    "Result": {
        "causes": ["rings-too-thin"],
        "none_of_the_listed": True,
        "note": "End play 0.11 mm by dial indicator.",
    },
    "Private": {
        "format": 1,
        "customer": "A. Customer",
        "phone": "555 0100",
        "plate": "AB 12 CDE",
        "vehicle_number": "X0000000000000000",
    },
    "MinutesModel": _OWN_MINUTES,
    "OverlayModel": {
        "format": 1,
        "rulebook": {"id": "driveline", "version": "0.1.0"},
        "cases": 412,
        "strength": 20,
        "none_of_the_listed": _RATE_CHANGE,
        "commonness": {"dirt-on-tube": _COMMONNESS_CHANGE},
        "findings": {"tube-has-stuff": _RATE_CHANGES},
    },
    "OverlayRulebook": {"id": "driveline", "version": "0.1.0"},
    "FindingChange": {**_RATE_CHANGES, "values": {"smooth": _RATE_CHANGES}},
    "RateChanges": _RATE_CHANGES,
    "RateChange": _RATE_CHANGE,
    "ShareChange": _RATE_CHANGE,
    "CommonnessChange": _COMMONNESS_CHANGE,
    "SettingsModel": {
        "format": 1,
        "gauges": {"caliper": _GAUGE},
        "without": ["phase-mark"],
        "stock": "rings.yaml",
        "library": "cases",
        "units": {"length": "in", "speed": "mph"},
        "minutes": _OWN_MINUTES,
        "role": "service-advisor",
    },
    "StockModel": {"format": 1, "rings": {"tray-1": _BOX}, "taken": [_TAKEN]},
    "TakenModel": {**_TAKEN, "at": _MOMENT},
    "BoxModel": {**_BOX, "style": "outside"},
    "FrameModel": {
        "format": 1,
        "vehicle": "Pickup, rear drive, springs raised, moans at 60 mph",
        "loads": {"unladen": {"slopes": _SLOPES}},
        "crossed": [False],
        "adjustments": [
            {
                "name": "wedge under the axle",
                "kind": "wedge",
                "sizes": _SIZES,
                "pinion_length": "280 mm",
                "shaft_length": "1420 mm",
            }
        ],
        "limits": {"smallest": "0.5 deg", "greatest": "4 deg", "source": "the maker's manual"},
        "inclinometer": {"step": "0.1 deg", "limit": "0.2 deg"},
        "shaft_speed": "2500 rpm",
    },
    "LoadModel": {"slopes": _SLOPES, "headings": ["0 deg", "0.5 deg", "0 deg"]},
    "LimitsModel": {"smallest": "0.5 deg", "greatest": "4 deg", "source": "the maker's manual"},
    "InclinometerModel": {"step": "0.1 deg", "limit": "0.2 deg"},
    "WedgeModel": {
        "name": "wedge under the axle",
        "kind": "wedge",
        "sizes": _SIZES,
        "pinion_length": "280 mm",
        "shaft_length": "1420 mm",
    },
    "MountShimModel": {
        "name": "plate under the gearbox mount",
        "kind": "mount-shim",
        "sizes": _PLATES,
        "mount_distance": "900 mm",
        "joint_distance": "1150 mm",
        "shaft_length": "1420 mm",
        "support_to_joint": "80 mm",
        "rear_shaft_length": "1250 mm",
    },
    "SupportShimModel": {
        "name": "plate over the centre support",
        "kind": "support-shim",
        "sizes": _PLATES,
        "support_distance": "780 mm",
        "centre_joint_distance": "860 mm",
        "rear_shaft_length": "1250 mm",
    },
    "DirectModel": {
        "name": "axle turned in its slots",
        "kind": "direct",
        "sizes": _SIZES,
        "per": "1.5 deg",
        "effects": ["0 deg", "0.3 deg", "-1.5 deg"],
    },
}
