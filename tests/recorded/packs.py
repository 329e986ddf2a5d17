"""Draws packs of many things and records the least price that HiGHS finds: `pip install highspy`, then
`python packs.py` here. The tests read only what it wrote."""

import json
import random

import highspy


def least(offers, needs):
    model = highspy.Highs()
    model.setOptionValue("output_flag", False)
    model.setOptionValue("mip_rel_gap", 0.0)
    model.setOptionValue("mip_abs_gap", 0.0)
    counts = [
        model.addIntegral(0, offer["most"] or 10000, offer["price"]) for offer in offers
    ]
    for thing, need in enumerate(needs):
        terms = [
            held * count
            for offer, count in zip(offers, counts)
            for at, held in offer["holds"]
            if at == thing
        ]
        model.addConstr(sum(terms[1:], terms[0]) >= need)
    model.minimize()
    if model.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    found = [round(value) for value in model.getSolution().col_value]
    return sum(offer["price"] * count for offer, count in zip(offers, found))


def draw(dice):
    things = dice.randint(3, 15)
    unit = [dice.randint(5, 120) for _ in range(things)]
    offers = []
    for thing in range(things):
        sizes = {dice.choice([1, 5, 10, 12, 25, 50, 100]) for _ in range(dice.randint(1, 3))}
        for size in sorted(sizes):
            price = unit[thing] * size * dice.uniform(0.8, 1.1) * size**-0.12
            most = dice.choice([None, None, None, 2, 4])
            offers.append({"holds": [[thing, size]], "price": max(1, int(price)), "most": most})
    for _ in range(dice.randint(0, 5)):
        some = sorted(dice.sample(range(things), dice.randint(2, min(4, things))))
        holds = [[thing, dice.choice([2, 5, 10, 20])] for thing in some]
        price = sum(unit[thing] * held for thing, held in holds) * dice.uniform(0.5, 0.95)
        offers.append({"holds": holds, "price": int(price), "most": dice.choice([None, None, 3])})
    return offers, [dice.randint(0, 180) for _ in range(things)]


dice = random.Random(20)
cases = []
while len(cases) < 30:
    offers, needs = draw(dice)
    price = least(offers, needs)
    if price is not None:
        offers = [[offer["price"], offer["most"], offer["holds"]] for offer in offers]
        cases.append({"offers": offers, "needs": needs, "price": price})
source = (
    f"optima of HiGHS {highspy.Highs().version()} (mixed-integer, no gap), drawn cases; "
    "prices in cents; an offer is [price, most, [[thing, count] ...]]"
)
lines = ",\n".join(json.dumps(case, separators=(",", ":")) for case in cases)
with open("packs.json", "w", encoding="utf-8") as file:
    file.write(f'{{"source":{json.dumps(source)},\n"cases":[\n{lines}\n]}}\n')
