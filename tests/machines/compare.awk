# Compares what two machines print, each number with all its digits (see digits.c): every word must
# be the same, and every number within 1e-9 of the larger one, or of 1. A whole number (a code, a
# slot, an address) is then the same. Two files are given: awk -f compare.awk ONE OTHER.
BEGIN {
    number = "-?[0-9]+([.][0-9]+)?(e[-+][0-9][0-9]+)?"
    if (ARGC != 3) {
        print "two files are needed"
        exit 2
    }
    while ((getline one < ARGV[1]) > 0) {
        lines++
        if ((getline other < ARGV[2]) <= 0)
            other = "(nothing)"
        if (one == other)
            continue
        noisy++
        if (!alike(one, other)) {
            missed++
            if (missed <= 20)
                printf "%s, line %d: %s\n%s, line %d: %s\n", ARGV[1], lines, one, ARGV[2], lines, other
        }
    }
    if ((getline other < ARGV[2]) > 0) {
        missed++
        printf "%s has more lines\n", ARGV[2]
    }
    printf "%d lines, %d of them not equal to the last digit, %d of these too far apart\n",
        lines, noisy, missed
    exit lines > 0 && missed == 0 ? 0 : 1
}

function size(value) {
    value += 0
    return value < 0 ? -value : value
}

# True if both lines have the same words and nearly the same numbers. Gaps may differ: columns move.
function alike(one, other,    a, b, limit) {
    gsub(/ +/, " ", one)
    gsub(/ +/, " ", other)
    while (match(one, number)) {
        a = substr(one, RSTART, RLENGTH)
        before = substr(one, 1, RSTART - 1)
        one = substr(one, RSTART + RLENGTH)
        if (!match(other, number) || substr(other, 1, RSTART - 1) != before)
            return 0
        b = substr(other, RSTART, RLENGTH)
        other = substr(other, RSTART + RLENGTH)
        if (a == b)
            continue
        limit = size(a) > size(b) ? size(a) : size(b)
        if (size(a - b) > 1e-9 * (limit > 1 ? limit : 1))
            return 0
    }
    return one == other
}
