using PoeWatch.Monitoring.Polling;

namespace PoeWatch.Monitoring.Tests.Polling;

/// <summary>core - ring - cabinet-1, cabinet-2; the pier stands alone.</summary>
public sealed class UplinkWatchTests
{
    private readonly UplinkWatch _watch = new();

    public UplinkWatchTests() => _watch.Follow(new Dictionary<string, string?>
    {
        ["core"] = null, ["ring"] = "core", ["cabinet-1"] = "ring", ["cabinet-2"] = "ring", ["pier"] = null,
    });

    [Fact]
    public void Silent_behind_a_silent_one_is_cut_off_and_the_root_and_those_that_answer_are_not()
    {
        Silent("ring", "cabinet-1", "pier");

        Assert.Equal(["cabinet-1"], new[] { "core", "ring", "cabinet-1", "cabinet-2", "pier" }.Where(_watch.IsCutOff));
        Assert.Equal(1, _watch.CutOff);
    }

    [Fact]
    public void When_the_way_is_open_again_those_behind_are_asked_at_once_and_step_by_step()
    {
        Silent("core", "ring", "cabinet-1", "cabinet-2");

        Assert.Equal(["ring"], _watch.Note("core", isSilent: false));
        Assert.Equal(["cabinet-1", "cabinet-2"], _watch.Note("ring", isSilent: false).Order());
        Assert.Empty(_watch.Note("ring", isSilent: false));
        Assert.Empty(_watch.Note("cabinet-1", isSilent: false));
    }

    [Fact]
    public void One_that_answers_behind_a_silent_one_shows_that_it_is_worth_asking()
    {
        Silent("ring", "cabinet-1");

        Assert.Equal(["ring"], _watch.Note("cabinet-1", isSilent: false));
    }

    [Fact]
    public void A_new_design_forgets_those_that_left()
    {
        Silent("ring", "cabinet-1");
        _watch.Follow(new Dictionary<string, string?> { ["cabinet-1"] = "ring" });

        Assert.False(_watch.IsCutOff("cabinet-1"));
    }

    private void Silent(params string[] ids)
    {
        foreach (var id in ids)
        {
            Assert.Empty(_watch.Note(id, isSilent: true));
        }
    }
}
