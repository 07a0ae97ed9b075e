using BenchmarkDotNet.Running;
using PoeWatch.Benchmarks.ManySwitches;
using PoeWatch.Benchmarks.Rollups;
using PoeWatch.Benchmarks.Storage;
using PoeWatch.Benchmarks.SwitchPolls;

if (args is ["switch-polls", .. var rest])
{
    return await SwitchPollCommand.InvokeAsync(rest);
}

if (args is ["many-switches", .. var many])
{
    return await ManySwitchesCommand.InvokeAsync(many);
}

if (args is ["rollups", .. var numbers])
{
    return await RollupCommand.InvokeAsync(numbers);
}

if (args is ["stored-history", .. var sizes])
{
    return await StoredHistoryCommand.InvokeAsync(sizes);
}

BenchmarkSwitcher.FromAssembly(typeof(Program).Assembly).Run(args);
return 0;
