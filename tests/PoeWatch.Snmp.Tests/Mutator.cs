namespace PoeWatch.Snmp.Tests;

/// <summary>Damages messages by a seeded generator, without an allocation.</summary>
internal static class Mutator
{
    private const int LongestInsert = 64;

    /// <summary>Puts a damaged copy into the room, which has space to spare, and says how long it is.</summary>
    public static int Mutate(ReadOnlySpan<byte> message, Span<byte> room, Random random)
    {
        int length = message.Length;
        message.CopyTo(room);
        for (int edits = random.Next(1, 5); edits > 0 && length > 1; edits--)
        {
            int at = random.Next(length);
            switch (random.Next(7))
            {
                case 0:
                    room[at] ^= (byte)(1 << random.Next(8));
                    break;
                case 1:
                    room[at] = (byte)random.Next(256);
                    break;
                case 2:
                    int gone = Math.Min(random.Next(1, 9), length - at);
                    room[(at + gone)..length].CopyTo(room[at..]);
                    length -= gone;
                    break;
                case 3:
                    int more = random.Next(1, 9);
                    room[at..length].CopyTo(room[(at + more)..]);
                    random.NextBytes(room.Slice(at, more));
                    length += more;
                    break;
                case 4:
                    room[at] = (byte)(0x80 + random.Next(10)); // a length that lies
                    break;
                case 5:
                    length = at;
                    break;
                default:
                    int again = random.Next(Math.Min(length, LongestInsert));
                    room[at..length].CopyTo(room[(at + again)..]);
                    length += again; // what stood there stands there twice
                    break;
            }
        }

        return length;
    }
}
