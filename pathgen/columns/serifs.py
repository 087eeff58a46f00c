"""Serifs: slabs at free ends that belong to their stroke."""

from pathgen.columns.joints import Skeleton
from pathgen.columns.pairing import heading, heading_at_joint
from pathgen.geometry import angle_deg

__all__ = ["absorb_serifs"]

SHORT = 0.19
SHORT_W = 1.1
SHORT_MOST = 0.25
SHORT_ABS = 0.12


def absorb_serifs(sk: Skeleton) -> None:
    o = sk.outline
    sc = min(1.0, 2 * float((o.points.max(0) - o.points.min(0)).max()))
    for n in list(sk.arms_at):
        hs = sk.arms_at.get(n, [])
        if len(hs) < 2:
            continue
        tl = {h: sk.reach(h) for h in hs if sk.free_end(h)}
        sh = [
            h
            for h in tl
            if tl[h]
            < max(
                SHORT * sc, min(SHORT_W * max(x.width for x in hs if x is not h), SHORT_MOST * sc)
            )
        ]
        if len(hs) == 3 and len(sh) == 2:
            for h in sh:
                sk.remove(h)
        elif len(hs) == 2 and len(sh) == 1:
            a = [h for h in hs if h is not sh[0]][0]
            if angle_deg(heading(o, sh[0]), -heading(o, a)) > 40:
                sk.remove(sh[0])
    for n in list(sk.arms_at):
        hs = sk.arms_at.get(n, [])
        if len(hs) == 3:
            hd = {h: heading_at_joint(o, h) for h in hs}
            for x in hs:
                if (
                    sk.free_end(x)
                    and sk.reach(x) < SHORT_ABS * sc
                    and min(angle_deg(hd[x], -hd[y]) for y in hs if y is not x) > 30
                ):
                    sk.remove(x)
                    break
