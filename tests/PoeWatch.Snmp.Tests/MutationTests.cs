using System.Net;
using PoeWatch.Snmp.Codec;
using PoeWatch.Snmp.Security;
using PoeWatch.Snmp.Tests.Security;
using PoeWatch.Snmp.Transport;
using PoeWatch.Snmp.Walking;
using PoeWatch.TestKit;

namespace PoeWatch.Snmp.Tests;

/// <summary>
/// Goal: no datagram, however damaged, throws, recurses, allocates by what it declares, or passes for a signed answer; and the decoder of
/// walks reads exactly what the decoder of single requests reads. Method: captured messages, mutated by a seeded generator, through the
/// whole receiving side as the receive thread runs it. <c>tests/evidence snmp-mutations</c> runs more of them. Each kind of outcome met is
/// kept once in Corpus/mutations.txt, which is replayed here; POEWATCH_EVIDENCE_CORPUS names a file for kinds that are new.
/// </summary>
[Collection("alone")]
public sealed class MutationTests
{
    private const int DefaultMutations = 50_000;
    private const int AllocatedMax = 300_000;
    private const int KindsMax = 150;

    private static readonly byte[] V2cResponse = Convert.FromHexString(
        "3081a302010104067075626c6963a2819502044e783f1f020100020100308186300f06082b0601020101030043030089463011060c2b0601020169"
        + "0101010601010201033012060c2b06010201690101010e0101410203e83011060c2b06010201690101010601020201033012060c2b060102016901"
        + "01010e0102410207d03011060c2b06010201690101010601030201033012060c2b06010201690101010e010341020bb8");

    private static readonly byte[] DiscoveryReport = Convert.FromHexString(
        "307202010330110204294fcf94020300ffe304010002010304223020041180001f888098f144645d24066b00000000020101020201410400040004003036"
        + "041180001f888098f144645d24066b000000000400a81f02044407ffe50201000201003011300f060a2b060106030f0101040041013a");

    private static readonly byte[] Signed = Convert.FromHexString((string)CapturedUsmTests.Responses.First().Data.Item5);
    private static readonly byte[][] Originals = [V2cResponse, DiscoveryReport, Signed];

    private readonly SingleRequest[] _requests = Requests();
    private readonly WalkAnswer _walked = new();
    private readonly ColumnName[] _columns = [new(Oid.Parse("1.3.6.1.2.1.105.1.1.1.6")), new(Oid.Parse("1.3.6.1.2.1.105.1.1.1.14"))];

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public void Mutated_messages_never_throw_and_never_pass_for_signed_ones(int half)
    {
        int seed = EvidenceRun.Seed(0) + half;
        int mutations = EvidenceRun.Rounds(DefaultMutations) / 2;
        Random random = new(seed);
        byte[] room = new byte[4096];
        byte[] kept = new byte[room.Length];
        int[] completed = new int[Originals.Length];
        Dictionary<string, string> kinds = [];
        GC.Collect();
        long memoryBefore = GC.GetTotalMemory(forceFullCollection: true);
        for (int i = 0; i < mutations; i++)
        {
            int which = random.Next(Originals.Length);
            int length = Mutator.Mutate(Originals[which], room, random);
            room.AsSpan(0, length).CopyTo(kept);
            long before = GC.GetAllocatedBytesForCurrentThread();
            try
            {
                int kind = Receive(which, room.AsSpan(0, length), kept.AsSpan(0, length), out bool isComplete);
                completed[which] += isComplete ? 1 : 0;
                if (kinds.Count < KindsMax && kinds.TryAdd($"{which}:{kind}", ""))
                {
                    kinds[$"{which}:{kind}"] = $"{which} {Convert.ToHexString(kept, 0, length)}";
                }
            }
            catch (Exception e)
            {
                Assert.Fail($"{e.GetType().Name} {e.Message} at seed {seed}, mutation {i}: {Convert.ToHexString(kept, 0, length)}\n{e.StackTrace}");
            }

            if (GC.GetAllocatedBytesForCurrentThread() - before > AllocatedMax)
            {
                Assert.Fail($"too much was allocated at seed {seed}, mutation {i}: {Convert.ToHexString(kept, 0, length)}");
            }
        }

        long growth = GC.GetTotalMemory(forceFullCollection: true) - memoryBefore;
        EvidenceRun.Note($"mutated messages from seed {seed}", mutations);
        EvidenceRun.Note($"of those still readable, v2c answers and v3 reports, seed {seed}", $"{completed[0]} and {completed[1]}");
        EvidenceRun.Note($"kinds of outcome, seed {seed}", kinds.Count);
        EvidenceRun.Note($"memory held after less before, bytes, seed {seed}", growth);
        Assert.InRange(growth, long.MinValue, 2_000_000);
        Assert.True(completed[0] > 0 && completed[1] > 0, "the mutator hit nothing that is still readable: it proves nothing");
        if (Environment.GetEnvironmentVariable("POEWATCH_EVIDENCE_CORPUS") is { Length: > 0 } file)
        {
            File.AppendAllLines(file, kinds.Values);
        }
    }

    [Fact]
    public void Every_kind_of_outcome_once_met_is_met_again()
    {
        string[] corpus = File.ReadAllLines(Path.Combine(AppContext.BaseDirectory, "Corpus", "mutations.txt"));
        foreach (string line in corpus)
        {
            byte[] datagram = Convert.FromHexString(line[2..]);
            Receive(line[0] - '0', datagram, [.. datagram], out _);
        }

        Assert.True(corpus.Length > 100, $"only {corpus.Length} datagrams in the corpus");
    }

    /// <summary>As the receive thread does it. Gives a number that tells outcomes of different kinds apart.</summary>
    private int Receive(int which, Span<byte> datagram, ReadOnlySpan<byte> original, out bool isComplete)
    {
        bool hasHead = MessageHead.TryRead(datagram, out _);
        bool isRequest = RequestMessage.TryDecode(datagram, out _);
        int agreed = which == 0 && CommunityMessage.TryRead(datagram, out _, out PduView pdu) ? AgreeOn(pdu.VarBindList) : 0;
        Verdict verdict = _requests[which].Read(datagram, default);
        isComplete = verdict == Verdict.Complete;
        SnmpResult? result = isComplete ? _requests[which].Result : null;
        int text = 0;
        foreach (VarBind varBind in result?.VarBinds ?? [])
        {
            text = HashCode.Combine(text, varBind.Value.Type, varBind.ToString().Length > 0);
        }

        bool untouched = original.Length >= Signed.Length && original[..Signed.Length].SequenceEqual(Signed);
        Assert.False(which == 2 && result is { IsAnswered: true } && !untouched, "a forged answer was believed");
        int kind = HashCode.Combine(hasHead, isRequest, agreed, verdict, result?.Outcome);
        return result is null ? kind : unchecked((kind * 31) + (result.VarBinds.Length * 7) + text);
    }

    /// <summary>Two decoders, one list: both refuse it, or both read the same names and values.</summary>
    private int AgreeOn(ReadOnlySpan<byte> list)
    {
        byte[] bytes = list.ToArray();
        bool isRead = VarBindReader.TryDecode(bytes, 0, bytes.Length, out VarBind[] varBinds);
        if (_walked.TryDecode(bytes, 0, singles: 1, _columns) != isRead)
        {
            Assert.Fail($"one decoder reads the list, the other does not ({isRead})");
        }

        Span<byte> room = stackalloc byte[sizeof(ulong)];
        for (int i = 0; i < varBinds.Length; i++)
        {
            StoredCell cell = _walked.Cells[i];
            byte[] whole = cell.Key == 0 ? [] : [.. _columns[(i - 1) % 2].Column.Encoded, .. StoredCell.IndexOf(cell.Key, room)];
            Oid name = cell.Key == 0 ? cell.NameIn(bytes) : new Oid(whole, 0, whole.Length);
            if (name != varBinds[i].Oid || cell.ValueIn(bytes) != varBinds[i].Value)
            {
                Assert.Fail($"variable {i} is {varBinds[i]} to one decoder and {name} = {cell.ValueIn(bytes)} to the other");
            }
        }

        return isRead ? varBinds.Length + 1 : 0;
    }

    private static SingleRequest[] Requests()
    {
        IPEndPoint endpoint = new(IPAddress.Loopback, 161);
        CommunityCredentials community = new("public");
        SnmpTarget v2c = new(endpoint, community);
        UsmSession session = CapturedUsmTests.SessionOf("u-sha-aes", AuthProtocol.Sha1, PrivacyProtocol.Aes128);
        SnmpTarget v3 = new(endpoint, session.Credentials);
        RequestBody body = new(PduType.Get, [Oid.Parse("1.3.6.1.2.1.1.3.0")]);
        return
        [
            new CommunityRequest(v2c, community, body) { Id = 0x4E783F1F },
            new DiscoveryRequest(v3) { Id = 0x294FCF94 },
            new UsmRequest(v3, session, body, new SnmpStatistics()) { Id = 0x294FCF93 },
        ];
    }
}

/// <summary>Tests that look at the whole process's memory: nothing else runs beside them.</summary>
[CollectionDefinition("alone", DisableParallelization = true)]
public sealed class Alone;
