using System.Net;
using PoeWatch.Snmp.Codec;
using PoeWatch.Snmp.Security;
using PoeWatch.Snmp.Tests.Security;
using PoeWatch.Snmp.Transport;
using PoeWatch.TestKit;

namespace PoeWatch.Snmp.Tests;

/// <summary>
/// Goal: no datagram, however damaged, throws, recurses, allocates by what it declares, or passes for a signed answer.
/// Method: captured messages, mutated by a seeded generator, through the whole receiving side as the receive thread runs
/// it. <c>tests/evidence snmp-mutations</c> runs more of them.
/// </summary>
public sealed class MutationTests
{
    private const int DefaultMutations = 50_000;

    private static readonly byte[] V2cResponse = Convert.FromHexString(
        "3081a302010104067075626c6963a2819502044e783f1f020100020100308186300f06082b0601020101030043030089463011060c2b0601020169"
        + "0101010601010201033012060c2b06010201690101010e0101410203e83011060c2b06010201690101010601020201033012060c2b060102016901"
        + "01010e0102410207d03011060c2b06010201690101010601030201033012060c2b06010201690101010e010341020bb8");

    private static readonly byte[] DiscoveryReport = Convert.FromHexString(
        "307202010330110204294fcf94020300ffe304010002010304223020041180001f888098f144645d24066b00000000020101020201410400040004003036"
        + "041180001f888098f144645d24066b000000000400a81f02044407ffe50201000201003011300f060a2b060106030f0101040041013a");

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public void Mutated_messages_never_throw_and_never_pass_for_signed_ones(int half)
    {
        int seed = EvidenceRun.Seed(0) + half;
        int mutations = EvidenceRun.Rounds(DefaultMutations);
        byte[] signed = Convert.FromHexString((string)CapturedUsmTests.Responses.First().Data.Item5);
        byte[][] corpus = [V2cResponse, DiscoveryReport, signed];
        SingleRequest[] requests = Requests();
        Random random = new(seed);
        int[] completed = new int[corpus.Length];
        for (int i = 0; i < mutations / 2; i++)
        {
            int which = random.Next(corpus.Length);
            byte[] mutated = Mutate(corpus[which], random);
            byte[] original = [.. mutated];
            string place = $"seed {seed}, mutation {i}: {Convert.ToHexString(original)}";
            long before = GC.GetAllocatedBytesForCurrentThread();
            try
            {
                MessageHead.TryRead(mutated, out _);
                RequestMessage.TryDecode(mutated, out _);
                Verdict verdict = requests[which].Read(mutated, default);
                SnmpResult? result = verdict == Verdict.Complete ? requests[which].Result : null;
                Describe(result);
                completed[which] += verdict == Verdict.Complete ? 1 : 0;
                bool untouched = original.AsSpan(0, Math.Min(original.Length, signed.Length)).SequenceEqual(signed);
                Assert.False(which == 2 && result is { IsAnswered: true } && !untouched, $"a forged answer was believed: {place}");
            }
            catch (Exception e) when (e is not Xunit.Sdk.XunitException)
            {
                Assert.Fail($"{e.GetType().Name} {e.Message} at {place}\n{e.StackTrace}");
            }

            long allocated = GC.GetAllocatedBytesForCurrentThread() - before;
            Assert.True(allocated < 300_000, $"{allocated} bytes allocated at {place}");
        }

        TestContext.Current.SendDiagnosticMessage(
            $"seed {seed}: {mutations / 2} mutations, {completed[0]} v2c read, {completed[1]} reports read");
        EvidenceRun.Note($"mutated messages from seed {seed}", mutations / 2);
        EvidenceRun.Note($"of those still readable, v2c answers and v3 reports, seed {seed}", $"{completed[0]} and {completed[1]}");
        Assert.True(completed[0] > 0 && completed[1] > 0, "the mutator hit nothing that is still readable: it proves nothing");
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

    private static void Describe(SnmpResult? result)
    {
        foreach (VarBind varBind in result?.VarBinds ?? [])
        {
            Assert.NotNull(varBind.ToString());
        }
    }

    private static byte[] Mutate(byte[] message, Random random)
    {
        List<byte> bytes = [.. message];
        for (int edits = random.Next(1, 5); edits > 0 && bytes.Count > 1; edits--)
        {
            int at = random.Next(bytes.Count);
            switch (random.Next(7))
            {
                case 0: bytes[at] ^= (byte)(1 << random.Next(8)); break;
                case 1: bytes[at] = (byte)random.Next(256); break;
                case 2: bytes.RemoveRange(at, Math.Min(random.Next(1, 9), bytes.Count - at)); break;
                case 3: bytes.InsertRange(at, Enumerable.Range(0, random.Next(1, 9)).Select(_ => (byte)random.Next(256))); break;
                case 4: bytes[at] = (byte)(0x80 + random.Next(10)); break; // a length that lies
                case 5: bytes.RemoveRange(at, bytes.Count - at); break;
                default: bytes.InsertRange(at, bytes.GetRange(0, random.Next(Math.Min(bytes.Count, 64)))); break;
            }
        }

        return [.. bytes];
    }
}
