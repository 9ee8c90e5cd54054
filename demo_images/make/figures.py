"""A figure by the name of its folder here: sculpt.py (regions), base.py (the rest), team.py (undercoat, paints, schemes)."""
from importlib import import_module
from types import SimpleNamespace


def figure(name):
    sculpt, base, team = (import_module(f"{name}.{part}") for part in ("sculpt", "base", "team"))
    parts = {k: v[:4] for k, v in sculpt.REGIONS.items()}
    parts.update(base.PARTS)
    return SimpleNamespace(name=name, regions=sculpt.REGIONS, parts=parts, team=team)
