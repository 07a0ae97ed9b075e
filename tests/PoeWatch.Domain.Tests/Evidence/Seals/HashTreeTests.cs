using CsCheck;
using PoeWatch.Domain.Evidence.Seals;

namespace PoeWatch.Domain.Tests.Evidence.Seals;

/// <summary>
/// The published vectors are those of the certificate-transparency reference implementation (cpp/merkletree/merkle_tree_test.cc: eight leaves, the roots of
/// their first 1 to 8, audit paths and consistency proofs), as the transparency projects in Go and Rust repeat them. The empty root is SHA-256 of nothing.
/// </summary>
public sealed class HashTreeTests
{
    private const string A = "96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7";
    private const string B = "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e";
    private const string C = "6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4";
    private const string D = "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b";
    private const string E = "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0";
    private const string F = "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7";
    private const string G = "0ebc5d3437fbe2db158b9f126a1d118e308181031d0a949f8dededebc558ef6a";

    private static readonly string[] LeafData = ["", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f"];

    private static readonly string[] Roots =
    [
        "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
        "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
        "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
        "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
        F,
        "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
        "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
        "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
        "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
    ];

    private static readonly Digest[] Leaves = [.. LeafData.Select(hex => HashTree.Leaf(Convert.FromHexString(hex)))];

    [Fact]
    public void Roots_of_the_published_leaves_are_those_published()
    {
        for (var size = 0; size <= Leaves.Length; size++)
        {
            Assert.Equal(Roots[size], HashTree.Root(Leaves.AsSpan(0, size)).ToString());
        }
    }

    [Theory]
    [InlineData(0, 1)]
    [InlineData(0, 8, A, B, C)]
    [InlineData(5, 8, D, E, F)]
    [InlineData(2, 3, "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125")]
    [InlineData(1, 5, "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d", B, D)]
    public void Inclusion_proofs_are_those_published_and_lead_to_the_root(int index, int size, params string[] published)
    {
        var proof = Proof(HashTree.InclusionRanges(index, size), Leaves);
        Assert.Equal(published, proof.Select(p => p.ToString()));
        Assert.Equal(Roots[size], HashTree.RootOfInclusion(index, size, Leaves[index], proof).ToString());
    }

    [Theory]
    [InlineData(1, 1)]
    [InlineData(1, 8, A, B, C)]
    [InlineData(6, 8, G, E, F)]
    [InlineData(2, 5, B, D)]
    public void Consistency_proofs_are_those_published_and_hold(int earlier, int size, params string[] published)
    {
        var proof = Proof(HashTree.ConsistencyRanges(earlier, size), Leaves);
        Assert.Equal(published, proof.Select(p => p.ToString()));
        Assert.True(HashTree.IsConsistent(earlier, Parse(Roots[earlier]), size, Parse(Roots[size]), proof));
    }

    [Fact]
    public void Every_leaf_of_every_small_tree_is_proven_and_no_other_leaf_or_place_is()
    {
        var leaves = Many(40);
        for (var size = 1; size <= leaves.Length; size++)
        {
            var root = HashTree.Root(leaves.AsSpan(0, size));
            for (var index = 0; index < size; index++)
            {
                var proof = Proof(HashTree.InclusionRanges(index, size), leaves);
                Assert.Equal(root, HashTree.RootOfInclusion(index, size, leaves[index], proof));
                Assert.NotEqual(root, HashTree.RootOfInclusion(index, size, Changed(leaves[index]), proof));
                Assert.Null(HashTree.RootOfInclusion(index, size, leaves[index], [.. proof, root]));
                Assert.Null(HashTree.RootOfInclusion(size, size, leaves[index], proof));
                for (var step = 0; step < proof.Length; step++)
                {
                    Assert.NotEqual(root, HashTree.RootOfInclusion(index, size, leaves[index], [.. proof[..step], Changed(proof[step]), .. proof[(step + 1)..]]));
                    Assert.NotEqual(root, HashTree.RootOfInclusion(index, size, leaves[index], [.. proof[..step], .. proof[(step + 1)..]]));
                }
            }
        }
    }

    [Fact]
    public void Every_earlier_tree_is_proven_to_begin_the_later_one_and_a_changed_one_is_not()
    {
        var leaves = Many(40);
        for (var size = 1; size <= leaves.Length; size++)
        {
            var root = HashTree.Root(leaves.AsSpan(0, size));
            for (var earlier = 0; earlier <= size; earlier++)
            {
                var earlierRoot = HashTree.Root(leaves.AsSpan(0, earlier));
                var proof = Proof(HashTree.ConsistencyRanges(earlier, size), leaves);
                Assert.True(HashTree.IsConsistent(earlier, earlierRoot, size, root, proof));
                Assert.False(HashTree.IsConsistent(earlier, Changed(earlierRoot), size, root, proof));
                Assert.Equal(earlier == 0, HashTree.IsConsistent(earlier, earlierRoot, size, Changed(root), proof));
                Assert.False(HashTree.IsConsistent(earlier, earlierRoot, size, root, [.. proof, root]));
                for (var step = 0; step < proof.Length; step++)
                {
                    Assert.False(HashTree.IsConsistent(earlier, earlierRoot, size, root, [.. proof[..step], Changed(proof[step]), .. proof[(step + 1)..]]));
                }
            }
        }
    }

    [Fact]
    public void A_pruned_tree_leads_to_the_root_whichever_leaves_are_shown() => Gen.Select(Gen.Int[0, 60], Gen.Bool.Array[60], Gen.Int[0, 59]).Sample((count, shows, changed) =>
    {
        var leaves = Many(count);
        var hidden = PrunedTree.Prune(leaves, i => shows[i]);
        var shown = Enumerable.Range(0, count).Where(i => shows[i]).ToDictionary(i => i, i => leaves[i]);
        Assert.Equal(HashTree.Root(leaves), count == 0 ? HashTree.Empty : PrunedTree.Root(count, shown, hidden));
        Assert.Null(PrunedTree.Root(count, shown, [.. hidden, HashTree.Empty]));
        if (shown.ContainsKey(changed))
        {
            shown[changed] = Changed(shown[changed]);
            Assert.NotEqual(HashTree.Root(leaves), PrunedTree.Root(count, shown, hidden));
        }
    });

    [Fact]
    public void A_pruned_tree_with_one_leaf_shown_is_its_audit_path()
    {
        var leaves = Many(53);
        for (var index = 0; index < leaves.Length; index++)
        {
            var path = Proof(HashTree.InclusionRanges(index, leaves.Length), leaves);
            Assert.Equal(path.Order(DigestOrder), PrunedTree.Prune(leaves, i => i == index).Order(DigestOrder));
        }
    }

    [Fact]
    public void A_digest_is_read_as_it_is_written_and_nothing_else_is()
    {
        Assert.True(Digest.TryParse(A, out var digest));
        Assert.Equal(A, digest.ToString());
        Assert.Equal(digest, Digest.Of(digest.ToArray()));
        Assert.False(Digest.TryParse(A[1..], out _));
        Assert.False(Digest.TryParse("g" + A[1..], out _));
        Assert.False(Digest.TryParse(null, out _));
        Assert.Throws<ArgumentException>(() => Digest.Of(new byte[31]));
    }

    private static Comparer<Digest> DigestOrder => Comparer<Digest>.Create((a, b) => string.CompareOrdinal(a.ToString(), b.ToString()));

    private static Digest[] Proof(IEnumerable<TreeRange> ranges, Digest[] leaves) =>
        [.. ranges.Select(r => HashTree.Root(leaves.AsSpan((int)r.Start, (int)r.Count)))];

    private static Digest[] Many(int count) => [.. Enumerable.Range(0, count).Select(i => HashTree.Leaf([(byte)i, 7]))];

    private static Digest Changed(Digest digest) => digest with { Third = digest.Third ^ 1 };

    private static Digest Parse(string hex) => Digest.TryParse(hex, out var digest) ? digest : throw new FormatException(hex);
}
